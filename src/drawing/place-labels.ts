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
const leaderGap = 4;
const mostRows = 5;
/** How many places are tried before a crossed leader is accepted. */
const mostTries = 4000;
/** How far a word may lie to the left of its leader, as shares of its width: centred first. */
const flights = [0.5, 0, 1];

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
  const wanted = [...labels]
    .sort((a, b) => a.anchorX - b.anchorX)
    .map((label) => candidates(label, bounds, size, widest));
  for (let rows = 1; rows <= mostRows; rows += 1) {
    const found = search(wanted, rows, (a, b) => overlaps(a, b) || crosses(a, b));
    if (found) return found;
  }
  return search(wanted, labels.length, overlaps) ?? [];
}

type Candidate = Omit<PlacedLabel, 'row'>;

function candidates(
  label: MarkLabel,
  [left, right]: readonly [number, number],
  size: number,
  widest: number,
): Candidate[] {
  const shown = fitText(label.word, widest, size, 'bold');
  const width = textWidth(shown, size, 'bold');
  return flights.map((share) => {
    const start = label.anchorX - share * (width - 12) - 6;
    const from = Math.min(Math.max(start, left), right - width);
    return { ...label, shown, left: from, right: from + width };
  });
}

/** Depth first: each label in turn takes the first place where nothing is in its way, and goes back where there is none. */
function search(
  wanted: readonly (readonly Candidate[])[],
  rows: number,
  inTheWay: (a: PlacedLabel, b: PlacedLabel) => boolean,
): PlacedLabel[] | undefined {
  let tries = 0;
  const place = (placed: readonly PlacedLabel[]): readonly PlacedLabel[] | undefined => {
    const next = wanted[placed.length];
    if (!next) return placed;
    for (let row = 0; row < rows; row += 1) {
      for (const candidate of next) {
        tries += 1;
        if (tries > mostTries) return undefined;
        const label = { ...candidate, row };
        if (placed.some((other) => inTheWay(label, other))) continue;
        const rest = place([...placed, label]);
        if (rest) return rest;
      }
    }
    return undefined;
  };
  return place([])?.slice();
}

function overlaps(a: PlacedLabel, b: PlacedLabel): boolean {
  return a.row === b.row && a.left < b.right + gap && b.left < a.right + gap;
}

function crosses(a: PlacedLabel, b: PlacedLabel): boolean {
  if (a.row === b.row) return false;
  const [lower, higher] = a.row < b.row ? [a, b] : [b, a];
  return higher.anchorX > lower.left - leaderGap && higher.anchorX < lower.right + leaderGap;
}
