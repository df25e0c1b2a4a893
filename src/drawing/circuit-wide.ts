import type { CircuitDrawingInput } from './circuit-drawing.js';
import {
  breakMark,
  chassisSign,
  circuitPart,
  conductorLine,
  focusFrame,
  holdBar,
  keySample,
  letters,
  skin,
  stopSign,
} from './circuit-marks.js';
import { markLabels, marksAt } from './circuit-places.js';
import { outletAt, progressWords, segmentWords, stopWords } from './circuit-words.js';
import { type PlacedLabel, placeLabels } from './label-rows.js';
import { type Conductor, conductors, type Place, type Segment } from './place.js';
import { circle, line, type Part, type PlainShape, rect, type Scene, text } from './scene.js';
import { fitText, textWidth, wrapText } from './text-width.js';

const width = 960;
const margin = 18;
const size = 14;
const lineHeight = 16;
const labelHeight = 20;
const tile = { width: 36, rise: 15, height: 98 };
const rowStep = 20;
/** Room to the right of the last outlet for its words, as a share of a gap. */
const roomAfterLast = 0.45;

interface Stop {
  readonly place: Place;
  readonly left: number;
  readonly right: number;
  readonly x: number;
}
interface Stretch {
  readonly place: Segment;
  readonly from: number;
  readonly to: number;
  /** The stretch that carries the segment's size and length. */
  readonly named: boolean;
}
interface Layout {
  readonly stops: readonly Stop[];
  readonly stretches: readonly Stretch[];
  readonly inletX: number;
  readonly bondX: number;
  /** y of the hot conductor. */
  readonly hotY: number;
  readonly namesY: number;
  readonly bondY: number;
  readonly height: number;
  readonly labels: readonly PlacedLabel[];
  readonly names: ReadonlyMap<Place, readonly Words[]>;
}
interface Words {
  readonly text: string;
  readonly bold: boolean;
}

/** The run from left to right, 960 units across. */
export function drawWideCircuit(input: CircuitDrawingInput): Omit<Scene, 'title' | 'description'> {
  const at = layOut(input);
  return {
    width,
    height: at.height,
    shapes: [
      ...background(at),
      ...at.stretches.map((stretch) => stretchPart(input, at, stretch)),
      bondPart(input, at),
      ...at.stops.map((stop) => stopPart(input, at, stop)),
      ...at.stops.flatMap((stop) => marks(input, at, stop.place, stop.x, stop.left - 9)),
      ...at.stretches.flatMap((s) => (s.named ? marks(input, at, s.place, ...markSpots(s)) : [])),
      ...at.labels.flatMap((label) => labelShapes(at, label)),
      ...key(input, at),
    ],
  };
}

function layOut(input: CircuitDrawingInput): Layout {
  const { circuit } = input;
  const places: Place[] = ['supply', 'inlet', 'breaker', ...circuit.run.map((o): Place => `outlet:${o.id}`)];
  const weights = [1.7, 1.1, ...circuit.run.map(() => 1)];
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
    [margin, width - margin],
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
  return { stops, stretches, inletX: inlet.x, bondX, hotY, namesY, bondY, height: bondY + 54, labels, names };
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
function markSpots(stretch: Stretch): [defect: number, hold: number] {
  const length = stretch.to - stretch.from;
  return [stretch.from + length * 0.62, stretch.from + length * 0.28];
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
  const kinds = textWidth(kind.join(', '), size) <= across ? [kind.join(', ')] : kind;
  const plain = [...kinds.map((words) => fitText(words, across, size)), ...wrapText(where, across, size, 2)];
  return [
    ...wrapText(name, across, size, 1, 'bold').map((words) => ({ text: words, bold: true })),
    ...plain.map((words) => ({ text: words, bold: false })),
  ];
}

function background(at: Layout): PlainShape[] {
  const bottom = at.bondY + 20;
  const right = width - 2;
  return [
    rect(at.inletX, 8, right - at.inletX, bottom - 8, 'inside filled'),
    ...skin(at.inletX, 8, bottom - 8, 'vertical'),
    text(at.inletX - 10, bottom - 6, 'outside', { size: 13, anchor: 'end', look: 'muted' }),
  ];
}

function rowY(at: Layout, conductor: Conductor): number {
  return at.hotY + rowStep * conductors.indexOf(conductor);
}

function stretchPart(input: CircuitDrawingInput, at: Layout, { place, from, to, named }: Stretch): Part {
  const top = at.hotY - tile.rise;
  const middle = (from + to) / 2;
  const words = named ? segmentWords(input.circuit, place, input.lengthUnit) : [];
  const lines = place === 'cord' ? [`cord, ${words[0]}`, words[1]] : words;
  return circuitPart(input, place, [
    ...(input.focus === place ? focusFrame(from + 2, top, to - from - 4, tile.height) : []),
    ...conductors.flatMap((c) =>
      conductorLine([from, rowY(at, c)], [to, rowY(at, c)], c, input.progress(place, c)),
    ),
    ...lines.map((words, i) =>
      text(middle, rowY(at, 'ground') + 20 + i * 16, words ?? '', {
        size: 13,
        anchor: 'middle',
        look: 'muted',
      }),
    ),
    rect(from, top, to - from, tile.height, 'ink touch'),
  ]);
}

function stopPart(input: CircuitDrawingInput, at: Layout, stop: Stop): Part {
  const top = at.hotY - tile.rise;
  const outlet = outletAt(input.circuit, stop.place);
  const lines = at.names.get(stop.place) ?? [];
  const [x, anchor] =
    stop.place === 'inlet'
      ? ([at.inletX - 10, 'end'] as const)
      : stop.place === 'supply'
        ? ([stop.left, 'start'] as const)
        : ([stop.x, 'middle'] as const);
  return circuitPart(input, stop.place, [
    ...(input.focus === stop.place
      ? focusFrame(stop.left - 5, top - 5, tile.width + 10, tile.height + 10)
      : []),
    rect(stop.left, top, tile.width, tile.height, 'ink boxed', 4),
    ...conductors.map((c) =>
      text(stop.x, rowY(at, c) + 5, letters[c], { size: 14, anchor: 'middle', weight: 'bold', look: c }),
    ),
    ...stopSign(stop.place, outlet?.device === 'gfci-receptacle', stop.x, top + tile.height - 20),
    ...lines.map((words, i) =>
      text(x, at.namesY + i * lineHeight, words.text, {
        size,
        anchor,
        weight: words.bold ? 'bold' : 'regular',
        look: words.bold ? 'ink' : 'muted',
      }),
    ),
    rect(stop.left, top, tile.width, tile.height + 6 + lines.length * lineHeight, 'ink touch'),
  ]);
}

function bondPart(input: CircuitDrawingInput, at: Layout): Part {
  const { bondX, bondY } = at;
  const from = rowY(at, 'ground');
  const { defects, hold } = marksAt(input, 'bond');
  const [gauge, length] = segmentWords(input.circuit, 'bond', input.lengthUnit);
  const words = [
    { text: `bond to the chassis, ${gauge}, ${length}`, look: 'muted' as const },
    ...defects.map((d) => ({ text: d.word, look: 'defect' as const })),
    ...(hold ? [{ text: hold.word, look: 'hold' as const }] : []),
  ];
  let x = bondX + 18;
  const shown = words.map(({ text: word, look }, index) => {
    const weight = index === 0 ? 'regular' : 'bold';
    const shape = text(x, bondY + 9, wrapText(word, 220, size, 1, weight)[0] ?? '', { size, weight, look });
    x += textWidth(shape.text, size, weight) + 14;
    return shape;
  });
  return circuitPart(input, 'bond', [
    ...(input.focus === 'bond' ? focusFrame(bondX - 14, from + 30, 28, bondY - from - 16) : []),
    circle(bondX, from, 3, 'ground filled'),
    ...conductorLine([bondX, from], [bondX, bondY], 'ground', input.progress('bond', 'ground')),
    ...chassisSign(bondX, bondY),
    ...(hold ? holdBar(bondX, from + 34, 11, 'horizontal') : []),
    ...(defects.length > 0 ? breakMark(bondX, bondY - 22, 11, 'horizontal') : []),
    ...shown,
    rect(bondX - 14, from + 12, 28, bondY - from + 2, 'ink touch'),
  ]);
}

function marks(
  input: CircuitDrawingInput,
  at: Layout,
  place: Place,
  defectX: number,
  holdX: number,
): PlainShape[] {
  const { defects, hold } = marksAt(input, place);
  const isStop = at.stops.some((stop) => stop.place === place);
  const middle = rowY(at, 'neutral');
  return [
    ...(hold ? holdBar(holdX, middle, rowStep + 9, 'vertical') : []),
    ...(isStop && defects.length > 0 ? breakMark(defectX, at.hotY - tile.rise, 14, 'horizontal') : []),
    ...(isStop ? [] : defects).flatMap((d) =>
      d.conductor
        ? breakMark(defectX, rowY(at, d.conductor), 9, 'vertical')
        : breakMark(defectX, middle, rowStep + 9, 'vertical'),
    ),
  ];
}

function labelShapes(at: Layout, label: PlacedLabel): PlainShape[] {
  const bottom = at.hotY - tile.rise - 8;
  const y = bottom - 6 - label.row * labelHeight;
  return [
    line(
      label.anchorX,
      y + 4,
      label.anchorX,
      bottom,
      label.look === 'defect' ? 'defect hairline' : 'hold hairline',
    ),
    text(label.left, y, label.shown, { size, weight: 'bold', look: label.look }),
  ];
}

function key(input: CircuitDrawingInput, at: Layout): PlainShape[] {
  const y = at.height - 8;
  let x = margin;
  return (['planned', 'landed', 'dead', 'live'] as const)
    .flatMap((progress) => {
      const shapes = keySample(x, y, progress, progressWords[progress], 13);
      x += 42 + textWidth(progressWords[progress], 13) + 26;
      return shapes;
    })
    .concat(
      input.focus === undefined
        ? []
        : [...focusFrame(x + 2, y - 12, 26, 15), text(x + 38, y, 'this step', { size: 13, look: 'muted' })],
    );
}
