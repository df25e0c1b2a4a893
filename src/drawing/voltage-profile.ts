import { lengthWords } from './circuit-words.js';
import { linearTicks } from './linear-ticks.js';
import { placeLabels } from './place-labels.js';
import { circle, line, type PlainShape, type Point, polyline, rect, type Scene, text } from './scene.js';
import { fitText, textBox, textWidth } from './text-width.js';

export interface ProfilePoint {
  readonly label: string;
  /** What the narrow layout writes instead, for instance the outlet's number. */
  readonly short?: string | undefined;
  readonly distanceM: number;
  readonly volts: number;
}

interface VoltageProfileInput {
  /** Wide 640 units across, narrow 320. */
  readonly layout: 'wide' | 'narrow';
  /** From the supply to the last outlet; the distance is along the conductors from the supply, m. */
  readonly points: readonly ProfilePoint[];
  /** Lines that the voltage should stay above, V. */
  readonly limits: readonly { readonly label: string; readonly volts: number }[];
  /** What is drawn at the time, for instance "12 A at the last outlet". */
  readonly load: string;
  readonly lengthUnit?: 'm' | 'ft' | undefined;
}

/** Volts along the run at the sheet's load, from the supply to the last outlet, with the limits that they should stay above. */
export function voltageProfile(input: VoltageProfileInput): Scene {
  const { points, limits } = input;
  if (points.length === 0) throw new RangeError('a voltage profile needs at least one point');
  const narrow = input.layout === 'narrow';
  const width = narrow ? 320 : 640;
  const field = { left: 54, right: width - 18, height: narrow ? 150 : 170 };
  const volts = [...points.map((p) => p.volts), ...limits.map((l) => l.volts)];
  const [low, high] = spread(Math.min(...volts), Math.max(...volts));
  const far = Math.max(...points.map((p) => p.distanceM), 0.001);
  const x = (distanceM: number) =>
    field.left + 10 + (field.right - field.left - 20) * shareOf(distanceM, 0, far);
  const labels = placeLabels(
    points.map((p) => ({
      anchorX: x(p.distanceM),
      word: narrow ? (p.short ?? p.label) : p.label,
      look: 'ink',
    })),
    [field.left, width - 2],
    13,
    narrow ? 110 : 130,
  );
  const top = 34 + Math.max(0, ...labels.map((l) => l.row + 1)) * 18;
  const y = (v: number) => top + field.height * (1 - shareOf(v, low, high));
  const bottom = top + field.height;
  const limitShapes = limits.flatMap((limit) => limitLine(limit, field, y));
  const end = `${points.at(-1)!.volts.toFixed(1)} V at the far end`;
  const path = points.map((p): Point => [x(p.distanceM), y(p.volts)]);
  return {
    width,
    height: bottom + 44,
    title: 'Voltage along the run',
    description: describe(input),
    shapes: [
      text(4, 16, end, { size: 13, weight: 'bold' }),
      text(field.right, 16, fitText(`at ${input.load}`, field.right - textWidth(end, 13, 'bold') - 16, 13), {
        size: 13,
        anchor: 'end',
        look: 'muted',
      }),
      ...voltAxis(field, linearTicks(low, high, 5), y),
      ...lengthAxis(field, bottom, x, far, input),
      ...limitShapes,
      ...labels.flatMap((l): PlainShape[] => [
        line(l.anchorX, top - 14 - l.row * 18, l.anchorX, yAt(points, l.anchorX, x, y) - 6, 'faint line'),
        text(l.left, top - 18 - l.row * 18, l.shown, { size: 13, weight: 'bold' }),
      ]),
      polyline(path, 'accent dead'),
      ...path.map(([px, py]) => circle(px, py, 4.5, 'accent boxed')),
      ...valueWords(points, x, y, limitShapes),
    ],
  };
}

/** Where a value stands between two ends, as a share from 0 to 1, not beyond them. */
function shareOf(value: number, low: number, high: number): number {
  return Math.min(1, Math.max(0, (value - low) / (high - low)));
}

function spread(least: number, most: number): [number, number] {
  const room = Math.max(1.5, (most - least) * 0.28);
  return [Math.floor(least - room), Math.ceil(most + room * 0.4)];
}

interface Field {
  readonly left: number;
  readonly right: number;
}

function voltAxis(field: Field, ticks: readonly number[], y: (v: number) => number): PlainShape[] {
  return ticks.flatMap((v) => [
    line(field.left, y(v), field.right, y(v), 'faint hairline'),
    text(field.left - 7, y(v) + 4.5, `${v} V`, { size: 13, anchor: 'end', look: 'muted' }),
  ]);
}

function lengthAxis(
  field: Field,
  bottom: number,
  x: (d: number) => number,
  farM: number,
  input: VoltageProfileInput,
): PlainShape[] {
  const unit = input.lengthUnit ?? 'm';
  const perUnit = unit === 'ft' ? 0.3048 : 1;
  const ticks = linearTicks(0, farM / perUnit, input.layout === 'narrow' ? 4 : 7);
  return [
    line(field.left, bottom, field.right, bottom, 'muted line'),
    ...ticks.flatMap((t) => [
      line(x(t * perUnit), bottom, x(t * perUnit), bottom + 5, 'muted line'),
      text(x(t * perUnit), bottom + 19, String(t), { size: 13, anchor: 'middle', look: 'muted' }),
    ]),
    text(field.right, bottom + 38, `${unit === 'ft' ? 'feet' : 'metres'} of conductor from the supply`, {
      size: 13,
      anchor: 'end',
      look: 'muted',
    }),
  ];
}

function limitLine(
  limit: VoltageProfileInput['limits'][number],
  field: Field,
  y: (v: number) => number,
): PlainShape[] {
  const words = fitText(limit.label, field.right - field.left - 8, 13);
  return [
    rect(field.left, y(limit.volts), field.right - field.left, 1.2, 'defect filled'),
    ...Array.from({ length: Math.floor((field.right - field.left) / 12) }, (_, i) => {
      const at = field.left + 4 + i * 12;
      return line(at, y(limit.volts) + 1, at - 4, y(limit.volts) + 6, 'defect hairline');
    }),
    text(field.left + 4, y(limit.volts) + 20, words, { size: 13, look: 'defect' }),
  ];
}

function yAt(
  points: VoltageProfileInput['points'],
  anchorX: number,
  x: (d: number) => number,
  y: (v: number) => number,
): number {
  const point = points.find((p) => Math.abs(x(p.distanceM) - anchorX) < 0.01);
  return point ? y(point.volts) : y(points[0]!.volts);
}

/** The value under each point where there is room for it, the far end first: clear of the limits and of each other. */
function valueWords(
  points: readonly ProfilePoint[],
  x: (d: number) => number,
  y: (v: number) => number,
  limitShapes: readonly PlainShape[],
): PlainShape[] {
  const taken = limitShapes.flatMap((shape) =>
    shape.kind === 'text'
      ? [textBox(shape)]
      : shape.kind === 'rect'
        ? [{ left: shape.x, right: shape.x + shape.width, top: shape.y, bottom: shape.y + 7 }]
        : [],
  );
  const shown: PlainShape[] = [];
  for (const point of [...points].reverse()) {
    const words = text(x(point.distanceM) + 4, y(point.volts) + 20, `${point.volts.toFixed(1)} V`, {
      size: 13,
      anchor: 'end',
    });
    const box = textBox(words);
    const blocked = taken.some(
      (t) => box.left < t.right + 6 && t.left < box.right + 6 && box.top < t.bottom && t.top < box.bottom,
    );
    if (blocked || box.left < 56) continue;
    shown.push(words);
    taken.push(box);
  }
  return shown;
}

function describe({ points, limits, load, lengthUnit }: VoltageProfileInput): string {
  const values = points.map(
    (p) => `${p.label}, ${lengthWords(p.distanceM, lengthUnit)} from the supply: ${p.volts.toFixed(1)} V.`,
  );
  const lines = limits.map((l) => `${l.label}: ${Number(l.volts.toFixed(1))} V.`);
  return [`Voltage at ${load}.`, ...values, ...lines].join(' ');
}
