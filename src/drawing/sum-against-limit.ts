import { placeLabels } from './place-labels.js';
import { line, type PlainShape, path, rect, type Scene, text } from './scene.js';
import { fitText, textWidth } from './text-width.js';

export interface SumPart {
  readonly label: string;
  /** In the unit of the sum, 0 or more. */
  readonly value: number;
  /** Counted on top of what flows: drawn hatched. */
  readonly extra?: boolean;
}

interface SumInput {
  /** Wide 640 units across, narrow 320. */
  readonly layout: 'wide' | 'narrow';
  readonly title: string;
  readonly unit: 'A' | 'V';
  readonly parts: readonly SumPart[];
  /** What the sum should stay within. */
  readonly limit: { readonly label: string; readonly value: number };
}

const size = 14;
const rowHeight = 20;
const barTop = 30;
const barHeight = 34;

/** Parts laid end to end against the limit of their sum: which part is how much, and whether the sum goes past the fence. */
export function sumAgainstLimit(input: SumInput): Scene {
  const { parts, limit, unit } = input;
  const width = input.layout === 'wide' ? 640 : 320;
  const [left, right] = [8, width - 8];
  const total = parts.reduce((sum, part) => sum + part.value, 0);
  const most = Math.max(limit.value * 1.2, total * 1.04);
  const x = (value: number) => left + ((right - left) * value) / most;
  const starts = parts.map((_, k) => parts.slice(0, k).reduce((sum, part) => sum + part.value, 0));
  const rows = parts.map((part, k) =>
    rowShapes(part, k, unit, barTop + barHeight + 34 + k * rowHeight, right),
  );
  return {
    width,
    height: barTop + barHeight + 14 + Math.max(parts.length, 0) * rowHeight + (parts.length > 0 ? 8 : 0),
    title: input.title,
    description: describe(input, total),
    shapes: [
      rect(left, barTop, right - left, barHeight, 'inside filled'),
      ...parts.flatMap((part, k) => partShapes(part, k, x(starts[k]!), x(starts[k]! + part.value))),
      ...fence(x(limit.value), right),
      ...placeLabels(
        [{ anchorX: x(limit.value), word: limit.label, look: 'defect' }],
        [left, right],
        size,
        width - 16,
      ).map((l) => text(l.left, barTop - 12, l.shown, { size, weight: 'bold', look: 'defect' })),
      ...rows.flat(),
    ],
  };
}

function partShapes(part: SumPart, k: number, from: number, to: number): PlainShape[] {
  const box = rect(from, barTop, to - from, barHeight, part.extra ? 'paper outlined' : lookOf(k));
  if (part.extra) return [box, ...hatches(from, to)];
  const mark = String(k + 1);
  if (to - from < textWidth(mark, size, 'bold') + 4) return [box];
  const middle = { size, anchor: 'middle', weight: 'bold' } as const;
  return [box, text((from + to) / 2, barTop + barHeight / 2 + 5, mark, middle)];
}

function lookOf(k: number): 'brass outlined' | 'silver outlined' {
  return k % 2 === 0 ? 'brass outlined' : 'silver outlined';
}

function hatches(from: number, to: number): PlainShape[] {
  const count = Math.max(0, Math.floor((to - from - 2) / 7));
  const d = Array.from({ length: count }, (_, i) => {
    const at = (from + 2 + i * 7).toFixed(1);
    return `M${at} ${barTop + barHeight - 2}L${(Number(at) + 5).toFixed(1)} ${barTop + 2}`;
  }).join('');
  return d === '' ? [] : [path(d, 'muted hairline')];
}

/** A heavy line with the barred side hatched. */
function fence(at: number, right: number): PlainShape[] {
  const [top, bottom] = [barTop - 6, barTop + barHeight + 6];
  const slants = Array.from({ length: Math.max(0, Math.min(2, Math.floor((right - at - 2) / 6))) }, (_, i) =>
    [top, bottom - 5].map((y) => line(at + i * 6, y + 5, at + 5 + i * 6, y, 'defect hairline')),
  ).flat();
  return [line(at, top, at, bottom, 'defect heavy'), ...slants];
}

function rowShapes(part: SumPart, k: number, unit: string, y: number, right: number): PlainShape[] {
  const figure = `${figureText(part.value)} ${unit}`;
  const sample = rect(8, y - 12, 22, 14, part.extra ? 'paper outlined' : lookOf(k));
  const mark = part.extra
    ? [path(`M10 ${y}L15 ${y - 10}M18 ${y}L23 ${y - 10}`, 'muted hairline')]
    : [text(19, y, String(k + 1), { size: 13, anchor: 'middle', weight: 'bold' })];
  const room = right - 44 - textWidth(figure, size, 'bold') - 10;
  return [
    sample,
    ...mark,
    text(40, y, fitText(part.label, room, size), { size }),
    text(right, y, figure, { size, anchor: 'end', weight: 'bold' }),
  ];
}

/** At least two figures that say something: 0.2, 3.4, 12.5. */
function figureText(value: number): string {
  return value < 0.95 && value > 0 ? String(Number(value.toPrecision(2))) : String(Number(value.toFixed(1)));
}

function describe({ parts, limit, unit }: SumInput, total: number): string {
  const said = parts.map((part) => `${part.label}: ${figureText(part.value)} ${unit}.`);
  const past = total > limit.value * (1 + 1e-9) ? 'past' : 'not past';
  return `${said.join(' ')} Together ${figureText(total)} ${unit}, ${past} ${limit.label}.`.trim();
}
