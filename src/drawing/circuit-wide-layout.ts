import type { Look } from './appearance.js';
import { markLabels, marksAt } from './circuit-marks-at.js';
import type { CircuitDrawingInput } from './circuit-progress.js';
import { segmentWords, stopWords } from './circuit-words.js';
import type { Place, Segment } from './place.js';
import { type PlacedLabel, placeLabels } from './place-labels.js';
import type { Weight } from './scene.js';
import { fitText, textWidth, wrapText } from './text-width.js';

export const width = 960;
export const margin = 18;
export const size = 14;
export const lineHeight = 16;
export const labelHeight = 20;
export const tile = { width: 36, rise: 15, height: 98 };
export const rowStep = 20;
/** Room to the right of the last outlet for its words, as a share of a gap. */
const roomAfterLast = 0.45;

export interface Stop {
  readonly place: Place;
  readonly left: number;
  readonly right: number;
  readonly x: number;
}
export interface Stretch {
  readonly place: Segment;
  readonly from: number;
  readonly to: number;
  /** The stretch that carries the segment's size and length. */
  readonly named: boolean;
}
export interface WideLayout {
  readonly stops: readonly Stop[];
  readonly stretches: readonly Stretch[];
  readonly inletX: number;
  readonly bondX: number;
  /** y of the hot conductor. */
  readonly hotY: number;
  readonly namesY: number;
  readonly bondY: number;
  /** What is said of the bond, in rows beside its joint to the chassis. */
  readonly bondWords: readonly BondWords[];
  /** Where the van's body ends; the key stands below it. */
  readonly bottom: number;
  readonly height: number;
  readonly labels: readonly PlacedLabel[];
  readonly names: ReadonlyMap<Place, readonly Words[]>;
}
interface BondWords {
  readonly x: number;
  readonly row: number;
  readonly text: string;
  readonly weight: Weight;
  readonly look: Look;
}
interface Words {
  readonly text: string;
  readonly bold: boolean;
  readonly size: number;
}

/** Where everything of the wide drawing stands; its height grows with the words above and below the run. */
export function layOutWideCircuit(input: CircuitDrawingInput): WideLayout {
  const { circuit } = input;
  const places: Place[] = ['supply', 'inlet', 'breaker', ...circuit.run.map((o): Place => `outlet:${o.id}`)];
  const weights = [2.1, 1.1, ...circuit.run.map(() => 1)];
  const free = width - 2 * margin - places.length * tile.width;
  const unit = free / weights.reduce((sum, w) => sum + w, roomAfterLast);
  let left = margin;
  const stops = places.map((place, index): Stop => {
    const stop = { place, left, right: left + tile.width, x: left + tile.width / 2 };
    left = stop.right + unit * (weights[index] ?? 0);
    return stop;
  });
  const segments: Segment[] = [
    'cord',
    `feed:${circuit.run[0]?.id}`,
    ...circuit.run.map((o): Segment => `feed:${o.id}`),
  ];
  const stretches = segments.map((place, index) => ({
    place,
    from: stops[index]!.right,
    to: stops[index + 1]!.left,
    named: index !== 1,
  }));
  const inlet = stops[1]!;
  const bondX = inlet.right + Math.min(26, unit * 0.36);
  const labels = placeLabels(
    markLabels(input, (place) => labelX(place, stops, stretches)),
    [margin, width - 8],
    size,
    200,
  );
  const rows = Math.max(0, ...labels.map((label) => label.row + 1));
  const hotY = 20 + rows * labelHeight + tile.rise + (rows > 0 ? 10 : 0);
  const namesY = hotY - tile.rise + tile.height + 20;
  const names = new Map(
    stops.map((stop, index) => [stop.place, nameLines(input, stop, columnWidth(stops, index, bondX))]),
  );
  const deepest = Math.max(...[...names.values()].map((lines) => lines.length));
  const bondY = namesY + deepest * lineHeight + 8;
  const bondWords = wordsOfBond(input, bondX + 18);
  const bottom = bondY + 20 + (bondWords.at(-1)?.row ?? 0) * lineHeight;
  const height = bottom + 34;
  const inletX = inlet.x;
  return { stops, stretches, inletX, bondX, hotY, namesY, bondY, bondWords, bottom, height, labels, names };
}

function labelX(place: Place, stops: readonly Stop[], stretches: readonly Stretch[]) {
  const stop = stops.find((s) => s.place === place);
  if (stop) return { defect: stop.x, hold: stop.left - 9 };
  const stretch = stretches.find((s) => s.place === place && s.named);
  if (!stretch) return undefined;
  const [defect, hold] = markSpots(stretch);
  return { defect, hold };
}

/** Where along a stretch its break mark and its bar stand. */
export function markSpots(stretch: Stretch): [defect: number, hold: number] {
  const length = stretch.to - stretch.from;
  return [stretch.from + length * 0.5, stretch.from + length * 0.22];
}

/** How wide the words under a stop may be: half the way to its neighbours, and clear of the skin and the bond. */
function columnWidth(stops: readonly Stop[], index: number, bondX: number): number {
  const stop = stops[index]!;
  const inletX = stops[1]!.x;
  if (index === 0) return (inletX - margin) * 0.55;
  if (index === 1) return (inletX - margin) * 0.45 - 12;
  const before = index === 2 ? bondX + 6 : (stops[index - 1]!.x + stop.x) / 2;
  const after = index + 1 < stops.length ? (stop.x + stops[index + 1]!.x) / 2 : width - 6;
  return 2 * Math.min(stop.x - before, after - stop.x) - 8;
}

function nameLines(input: CircuitDrawingInput, stop: Stop, across: number): Words[] {
  const { name, kind, where } = stopWords(input.circuit, stop.place);
  const small = input.circuit.run.length > 6 ? size - 1 : size;
  const fits = (words: string) => textWidth(words, small) <= across;
  const whole = kind.join(', ');
  const kinds = fits(whole) ? [whole] : kind.flatMap((word) => (fits(word) ? [word] : word.split(/(?<=-)/)));
  const plain = [
    ...kinds.map((words) => fitText(words, across, small)),
    ...wrapText(where, across, small, across < 90 ? 3 : 2),
  ];
  return [
    ...wrapText(name, across, size, 2, 'bold').map((words) => ({ text: words, bold: true, size })),
    ...plain.map((words) => ({ text: words, bold: false, size: small })),
  ];
}

/** One beside the other as long as the picture has room, then in the next row. */
function wordsOfBond(input: CircuitDrawingInput, from: number): BondWords[] {
  const { wrong, hold } = marksAt(input, 'bond');
  const [gauge, length] = segmentWords(input.circuit, 'bond', input.lengthUnit);
  const said = [
    { word: `bond to the chassis, ${gauge}, ${length}`, weight: 'regular', look: 'muted' },
    ...(wrong ? [{ word: wrong, weight: 'bold', look: 'defect' } as const] : []),
    ...(hold ? [{ word: hold.word, weight: 'bold', look: 'hold' } as const] : []),
  ] as const;
  let [x, row] = [from, 0];
  return said.map(({ word, weight, look }) => {
    const shown = fitText(word, 220, size, weight);
    const across = textWidth(shown, size, weight);
    if (x > from && x + across > width - margin) [x, row] = [from, row + 1];
    const placed = { x, row, text: shown, weight, look };
    x += across + 14;
    return placed;
  });
}
