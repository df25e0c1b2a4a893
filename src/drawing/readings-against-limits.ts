import { roughOhms } from '../faults/fault-words.js';
import { linearTicks } from './linear-ticks.js';
import { line, type PlainShape, path, polyline, rect, type Scene, text } from './scene.js';
import { fitText, textWidth } from './text-width.js';

export interface ReadingRow {
  readonly label: string;
  /** Ω or V; null is over-limit. */
  readonly value: number | null;
  /** Half the width of the bar around the value, in the same unit; 0 where it is not known. */
  readonly uncertainty: number;
  /** Over-limit was shown on a range that ends here, Ω. */
  readonly rangeOhm?: number | undefined;
  readonly expected?: number | null | undefined;
  readonly upper?: number | undefined;
  readonly lower?: number | undefined;
  readonly verdict: 'pass' | 'fail' | 'unproven';
}

interface ReadingsInput {
  /** `paper` is `wide` with room for whole labels, and lower rows. */
  readonly layout: 'wide' | 'narrow' | 'paper';
  readonly quantity: 'ohms' | 'volts';
  readonly rows: readonly ReadingRow[];
}

/** Leaves room for labels; ohms run over decades, volts evenly. */
interface Frame {
  readonly width: number;
  readonly left: number;
  readonly right: number;
  readonly rowHeight: number;
  /** From the top of a row down to its track. */
  readonly drop: number;
  readonly ticks: readonly number[];
  readonly x: (value: number) => number;
}

const top = 14;

const sizes = {
  narrow: { width: 320, left: 14, right: 306, rowHeight: 66, drop: 50 },
  wide: { width: 640, left: 196, right: 450, rowHeight: 34, drop: 17 },
  paper: { width: 850, left: 440, right: 680, rowHeight: 25, drop: 12.5 },
} as const;

/**
 * Each reading on one scale with its uncertainty as a bar, its limit as a fence with the barred side hatched, and the value that a sound
 * circuit shows as a hollow mark. Ohms on a scale of decades; over-limit is an arrow from the end of the meter's range.
 */
export function readingsAgainstLimits(input: ReadingsInput): Scene {
  const { rows, quantity } = input;
  const frame = frameOf(input);
  const bottom = top + rows.length * frame.rowHeight;
  return {
    width: frame.width,
    height: bottom + 58,
    title: quantity === 'ohms' ? 'Resistances against their limits' : 'Voltages against their limits',
    description: rows.map((row) => describe(row, quantity)).join(' '),
    shapes: [
      ...frame.ticks.map((tick) => line(frame.x(tick), top, frame.x(tick), bottom, 'faint hairline')),
      ...rows.flatMap((row, i) => rowShapes(input, frame, row, top + i * frame.rowHeight)),
      line(frame.left, bottom, frame.right, bottom, 'muted line'),
      ...axisWords(frame, quantity, bottom),
      ...key(bottom + 46, input.layout),
    ],
  };
}

function frameOf({ layout, quantity, rows }: ReadingsInput): Frame {
  const narrow = layout === 'narrow';
  const { width, left, right, rowHeight, drop } = sizes[layout];
  const values = rows
    .flatMap((r) => [r.value, r.expected, r.upper, r.lower, r.rangeOhm])
    .filter((v) => typeof v === 'number');
  const common = { width, left, right, rowHeight, drop };
  if (quantity === 'ohms') {
    const seen = values.filter((v) => v > 0);
    const low = Math.max(-3, Math.min(-2, Math.floor(Math.log10(Math.min(0.01, ...seen)))));
    const high = Math.max(1, Math.ceil(Math.log10(Math.max(...seen, 1)) + 0.3));
    const every = Math.ceil((high - low) / (narrow ? 5 : 6));
    const ticks = Array.from(
      { length: Math.floor((high - low) / every) + 1 },
      (_, i) => 10 ** (low + i * every),
    );
    const share = (v: number) => (Math.log10(Math.max(v, 10 ** low)) - low) / (high - low);
    return { ...common, ticks, x: (v) => left + (right - left) * Math.min(1, Math.max(0, share(v))) };
  }
  const [least, most] = [Math.min(...values, 0), Math.max(...values, 1)];
  const close = least > 60 ? least : Math.min(...values.filter((v) => v > 0), most);
  const low = close > 60 && values.every((v) => v > 60) ? Math.floor(close - 6) : 0;
  const high = Math.ceil(most * 1.04 + 1);
  const ticks = linearTicks(low, high, narrow ? 4 : 6);
  return {
    ...common,
    ticks,
    x: (v) => left + (right - left) * Math.min(1, Math.max(0, (v - low) / (high - low))),
  };
}

function rowShapes(
  { layout, quantity }: ReadingsInput,
  frame: Frame,
  row: ReadingRow,
  y: number,
): PlainShape[] {
  const narrow = layout === 'narrow';
  const track = y + frame.drop;
  const says = `${valueWords(row, quantity)}, ${row.verdict}`;
  const room = (narrow ? frame.right : frame.left - 24) - frame.left * Number(narrow);
  const words = narrow ? y + 16 : track + 5;
  return [
    line(
      narrow ? frame.left : 8,
      y + frame.rowHeight,
      frame.width - (narrow ? 14 : 8),
      y + frame.rowHeight,
      'faint hairline',
    ),
    ...fences(frame, row, track),
    line(frame.left, track, frame.right, track, 'faint line'),
    ...(typeof row.expected === 'number' ? [expectedMark(frame.x(row.expected), track)] : []),
    ...(row.value === null
      ? overLimit(frame, row, track)
      : valueMark(frame, row.value, row.uncertainty, track)),
    text(narrow ? frame.left : 8, words, fitText(row.label, room, 14), { size: 14 }),
    text(narrow ? frame.left : frame.width - 8, narrow ? words + 18 : words, says, {
      size: 14,
      anchor: narrow ? 'start' : 'end',
      weight: 'bold',
      look: row.verdict === 'fail' ? 'defect' : 'ink',
    }),
  ];
}

function fences(frame: Frame, { upper, lower }: ReadingRow, track: number): PlainShape[] {
  return [
    ...(upper === undefined ? [] : fence(frame.x(upper), frame.right, track)),
    ...(lower === undefined ? [] : fence(frame.x(lower), frame.left, track)),
  ];
}

/** A limit, with the side that a reading may not be on hatched. */
function fence(x: number, end: number, track: number): PlainShape[] {
  const [from, to] = [Math.min(x, end), Math.max(x, end)];
  const count = Math.max(0, Math.floor((to - from - 7) / 12));
  const hatches = Array.from({ length: count }, (_, i) => {
    const at = (from + 3 + i * 12).toFixed(1);
    return `M${at} ${track + 7}L${(Number(at) + 5).toFixed(1)} ${track - 7}`;
  });
  return [
    rect(from, track - 8, to - from, 16, 'inside filled'),
    ...(hatches.length > 0 ? [path(hatches.join(''), 'faint hairline')] : []),
    line(x, track - 10, x, track + 10, 'defect tick'),
  ];
}

function expectedMark(x: number, track: number): PlainShape {
  return polyline(
    [
      [x, track - 6],
      [x + 6, track],
      [x, track + 6],
      [x - 6, track],
    ],
    'accent boxed',
    true,
  );
}

function valueMark(frame: Frame, value: number, uncertainty: number, track: number): PlainShape[] {
  const [from, to] = [frame.x(Math.max(0, value - uncertainty)), frame.x(value + uncertainty)];
  return [
    ...(uncertainty > 0
      ? [
          line(from, track, to, track, 'ink line'),
          line(from, track - 5, from, track + 5, 'ink line'),
          line(to, track - 5, to, track + 5, 'ink line'),
        ]
      : []),
    rect(frame.x(value) - 2, track - 7, 4, 14, 'ink filled'),
  ];
}

/** Over-limit: somewhere beyond the end of the range. */
function overLimit(frame: Frame, { rangeOhm }: ReadingRow, track: number): PlainShape[] {
  const from = Math.min(rangeOhm === undefined ? frame.right - 30 : frame.x(rangeOhm), frame.right - 16);
  const tip = frame.right;
  return [
    line(from, track - 7, from, track + 7, 'ink tick'),
    line(from, track, tip - 2, track, 'ink tick'),
    polyline(
      [
        [tip - 9, track - 6],
        [tip, track],
        [tip - 9, track + 6],
      ],
      'ink tick',
    ),
  ];
}

function axisWords(frame: Frame, quantity: ReadingsInput['quantity'], bottom: number): PlainShape[] {
  return frame.ticks.map((tick) => {
    const words = quantity === 'ohms' ? roughOhms(tick) : `${tick} V`;
    const half = textWidth(words, 13) / 2;
    const x = Math.min(Math.max(frame.x(tick), half + 4), frame.width - half - 4);
    return text(x, bottom + 17, words, { size: 13, anchor: 'middle', look: 'muted' });
  });
}

function key(y: number, layout: ReadingsInput['layout']): PlainShape[] {
  const start = sizes[layout].left;
  return [
    rect(start, y - 12, 4, 14, 'ink filled'),
    text(start + 12, y, 'reading', { size: 13, look: 'muted' }),
    expectedMark(start + 78, y - 5),
    text(start + 90, y, 'expected', { size: 13, look: 'muted' }),
    line(start + 162, y - 14, start + 162, y + 4, 'defect tick'),
    text(start + 170, y, layout === 'narrow' ? 'limit, barred side' : 'limit, barred side hatched', {
      size: 13,
      look: 'muted',
    }),
  ];
}

function valueWords(
  { value, uncertainty, rangeOhm }: ReadingRow,
  quantity: ReadingsInput['quantity'],
): string {
  if (value === null) return rangeOhm === undefined ? 'OL' : `OL, over ${roughOhms(rangeOhm)}`;
  if (quantity === 'volts')
    return uncertainty > 0
      ? `${Number(value.toFixed(2))} ± ${Number(uncertainty.toPrecision(2))} V`
      : `${Number(value.toFixed(2))} V`;
  if (uncertainty <= 0) return roughOhms(value);
  const [shown, unit] = roughOhms(value).split(' ');
  const factor = unit === 'MΩ' ? 1e6 : unit === 'kΩ' ? 1e3 : 1;
  return `${shown} ± ${Number((uncertainty / factor).toPrecision(2))} ${unit}`;
}

function describe(row: ReadingRow, quantity: ReadingsInput['quantity']): string {
  const words = (v: number) => (quantity === 'ohms' ? roughOhms(v) : `${Number(v.toFixed(1))} V`);
  const limits = [
    ...(row.upper === undefined ? [] : [`limit at most ${words(row.upper)}`]),
    ...(row.lower === undefined ? [] : [`limit at least ${words(row.lower)}`]),
  ];
  const expected =
    row.expected === undefined ? [] : [`expected ${row.expected === null ? 'OL' : words(row.expected)}`];
  return `${row.label}: ${[valueWords(row, quantity), ...expected, ...limits, row.verdict].join(', ')}.`;
}
