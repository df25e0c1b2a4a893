import type { Look } from './appearance.js';
import { fitText, textWidth } from './text-width.js';

/** A word that belongs to a mark below it, on a thin line (leader) down to the mark. */
export interface MarkLabel {
  readonly anchorX: number;
  readonly word: string;
  readonly look: Look;
}
export interface PlacedLabel extends MarkLabel {
  readonly left: number;
  readonly right: number;
  /** 0 is the row next to the marks. */
  readonly row: number;
  readonly shown: string;
}

const gap = 8;
const mostRows = 5;

/**
 * Puts the words into as few rows as they need: no word overlaps another, and as long as it can be had no leader passes behind a
 * word. Long words are cut at `widest`.
 */
export function placeLabels(
  labels: readonly MarkLabel[],
  bounds: readonly [left: number, right: number],
  size: number,
  widest: number,
): PlacedLabel[] {
  const fromLeft = [...labels].sort((a, b) => a.anchorX - b.anchorX);
  const byLength = [...fromLeft].sort((a, b) => a.word.length - b.word.length);
  const tries = [fromLeft, [...fromLeft].reverse(), byLength, [...byLength].reverse()].map((order) =>
    placeInOrder(order, bounds, size, widest),
  );
  return tries.reduce((best, next) => (crossings(next) < crossings(best) ? next : best));
}

function placeInOrder(
  labels: readonly MarkLabel[],
  [left, right]: readonly [number, number],
  size: number,
  widest: number,
): PlacedLabel[] {
  const placed: PlacedLabel[] = [];
  for (const label of labels) {
    const shown = fitText(label.word, widest, size, 'bold');
    const width = textWidth(shown, size, 'bold');
    const starts = [label.anchorX - width / 2, label.anchorX - 6, label.anchorX - width + 6].map((start) =>
      Math.min(Math.max(start, left), right - width),
    );
    const at = (row: number) =>
      starts.map((start): PlacedLabel => ({ ...label, shown, left: start, right: start + width, row }));
    const near = Array.from({ length: mostRows }, (_, row) => at(row)).flat();
    const far = Array.from({ length: labels.length + 1 }, (_, row) => at(row)).flat();
    const spot =
      near.find((box) => !placed.some((other) => overlaps(box, other) || crosses(box, other))) ??
      far.find((box) => !placed.some((other) => overlaps(box, other)));
    if (spot) placed.push(spot);
  }
  return placed;
}

function crossings(placed: readonly PlacedLabel[]): number {
  return placed.reduce((sum, a, i) => sum + placed.slice(i + 1).filter((b) => crosses(a, b)).length, 0);
}

function overlaps(a: PlacedLabel, b: PlacedLabel): boolean {
  return a.row === b.row && a.left < b.right + gap && b.left < a.right + gap;
}

function crosses(a: PlacedLabel, b: PlacedLabel): boolean {
  if (a.row === b.row) return false;
  const [lower, higher] = a.row < b.row ? [a, b] : [b, a];
  return higher.anchorX > lower.left - gap && higher.anchorX < lower.right + gap;
}
