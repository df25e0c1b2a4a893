import type { Look } from './appearance.js';
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
import { marksAt } from './circuit-places.js';
import { outletAt, progressWords, segmentWords, stopWords } from './circuit-words.js';
import { type Conductor, conductors, type Place, type Segment } from './place.js';
import { circle, line, type PlainShape, rect, type Scene, type Shape, text } from './scene.js';
import { fitText, wrapText } from './text-width.js';

const width = 320;
const size = 14;
const lineHeight = 17;
const tile = { left: 8, width: 106, height: 32 };
const wordsX = 126;
const wordsWidth = width - wordsX - 6;
const firstX = 26;
const columnStep = 22;
const signX = 96;

interface Words {
  readonly text: string;
  readonly look: Look;
  readonly bold: boolean;
}
/** One thing below another: a stop, or the stretch between two stops. */
interface Item {
  readonly place: Place;
  readonly kind: 'stop' | 'stretch';
  readonly words: readonly Words[];
  /** The bond leaves the ground between the inlet and the breaker. */
  readonly bond?: readonly Words[];
  readonly top: number;
  readonly height: number;
}

/** The run from top to bottom, 320 units across: what a phone shows. */
export function drawNarrowCircuit(input: CircuitDrawingInput): Omit<Scene, 'title' | 'description'> {
  const items = stack(input);
  const bottom = items.reduce((sum, item) => Math.max(sum, item.top + item.height), 0) + 6;
  const inlet = items.find((item) => item.place === 'inlet');
  const skinY = (inlet?.top ?? 0) + 3;
  return {
    width,
    height: bottom + 54,
    shapes: [
      rect(0, skinY, width, bottom - skinY, 'inside filled'),
      ...skin(0, skinY, width, 'horizontal'),
      text(width - 8, skinY - 8, 'outside', { size: 13, anchor: 'end', look: 'muted' }),
      ...items.flatMap((item): Shape[] => [
        ...(item.kind === 'stretch' ? [stretchPart(input, item)] : []),
        ...(item.bond ? [bondPart(input, item)] : []),
      ]),
      ...items.filter((item) => item.kind === 'stop').map((item) => stopPart(input, item)),
      ...items
        .filter((item, index) => item.kind === 'stop' || index !== 3)
        .flatMap((item) => marks(input, item)),
      ...key(input, bottom + 22),
    ],
  };
}

function stack(input: CircuitDrawingInput): Item[] {
  const { circuit } = input;
  const first: Segment = `feed:${circuit.run[0]?.id}`;
  const order: [Item['kind'], Place][] = [
    ['stop', 'supply'],
    ['stretch', 'cord'],
    ['stop', 'inlet'],
    ['stretch', first],
    ['stop', 'breaker'],
    ...circuit.run.flatMap((o): [Item['kind'], Place][] => [
      ['stretch', `feed:${o.id}`],
      ['stop', `outlet:${o.id}`],
    ]),
  ];
  let top = 8;
  return order.map(([kind, place], index) => {
    const bond = index === 3 ? [...lengthWords(input, 'bond'), ...markWords(input, 'bond')] : undefined;
    const own =
      index === 3 ? [] : kind === 'stop' ? nameWords(input, place) : lengthWords(input, place as Segment);
    const words = [...own, ...(index === 3 ? [] : markWords(input, place))];
    const lines = Math.max(words.length, bond?.length ?? 0);
    const height = Math.max(
      kind === 'stop' ? tile.height : bond ? 44 : 34,
      lines * lineHeight + (kind === 'stop' ? 4 : 12),
    );
    const item = { kind, place, words, top, height, ...(bond ? { bond } : {}) };
    top += height;
    return item;
  });
}

function nameWords(input: CircuitDrawingInput, place: Place): Words[] {
  const { name, kind, where } = stopWords(input.circuit, place);
  const title = fitText([name, ...kind].join(', '), wordsWidth, size, 'bold');
  return [{ text: title, look: 'ink', bold: true }, ...wrapText(where, wordsWidth, size, 2).map(muted)];
}

function lengthWords(input: CircuitDrawingInput, segment: Segment): Words[] {
  const [gauge, length] = segmentWords(input.circuit, segment, input.lengthUnit);
  const before = segment === 'cord' ? 'cord, ' : segment === 'bond' ? 'bond to chassis, ' : '';
  return wrapText(`${before}${gauge}, ${length}`, wordsWidth, size, 2).map(muted);
}

function markWords(input: CircuitDrawingInput, place: Place): Words[] {
  const { defects, hold } = marksAt(input, place);
  const shown = (words: string, look: Look) =>
    wrapText(words, wordsWidth, size, 2, 'bold').map((line): Words => ({ text: line, look, bold: true }));
  return [...defects.flatMap((d) => shown(d.word, 'defect')), ...(hold ? shown(hold.word, 'hold') : [])];
}

function muted(words: string): Words {
  return { text: words, look: 'muted', bold: false };
}

function columnX(conductor: Conductor): number {
  return firstX + columnStep * conductors.indexOf(conductor);
}

function stretchPart(input: CircuitDrawingInput, item: Item) {
  const segment = item.place as Segment;
  const { top, height } = item;
  const from = columnX('hot') - 14;
  const across = columnX('ground') + 14 - from;
  return circuitPart(input, item.place, [
    ...(input.focus === item.place ? focusFrame(from, top + 2, across, height - 4) : []),
    ...conductors.flatMap((c) =>
      conductorLine([columnX(c), top], [columnX(c), top + height], c, input.progress(segment, c)),
    ),
    ...wordShapes(item.words, top + (height - item.words.length * lineHeight) / 2),
    rect(0, top, item.bond ? columnX('ground') : width, height, 'ink touch'),
  ]);
}

function stopPart(input: CircuitDrawingInput, item: Item) {
  const outlet = outletAt(input.circuit, item.place);
  const { left, width: across, height } = tile;
  const top = item.top + (item.height - height) / 2;
  const letterY = item.top + item.height / 2 + 5;
  const rise = item.place === 'inlet' ? 4 : 0;
  return circuitPart(input, item.place, [
    ...(input.focus === item.place ? focusFrame(left - 5, item.top - 3, width - 6, item.height + 6) : []),
    ...conductors.flatMap((c) => joinAcross(input, item, c)),
    rect(left, top, across, height, 'ink boxed', 4),
    ...conductors.map((c) =>
      text(columnX(c), letterY, letters[c], { size, anchor: 'middle', weight: 'bold', look: c }),
    ),
    ...stopSign(item.place, outlet?.device === 'gfci-receptacle', signX, top + height / 2),
    ...wordShapes(item.words, item.top + rise + (item.height - item.words.length * lineHeight) / 2),
    rect(0, item.top, width, item.height, 'ink touch'),
  ]);
}

/** Where a stop's words are taller than its tile, the conductors reach to the tile on both sides. */
function joinAcross(input: CircuitDrawingInput, item: Item, conductor: Conductor): PlainShape[] {
  const spare = (item.height - tile.height) / 2;
  if (spare <= 0.5) return [];
  const { run } = input.circuit;
  const index = run.findIndex((o) => item.place === `outlet:${o.id}`);
  const first: Segment = `feed:${run[0]?.id}`;
  const before: Segment | undefined =
    item.place === 'supply'
      ? undefined
      : item.place === 'inlet'
        ? 'cord'
        : item.place === 'breaker'
          ? first
          : `feed:${run[index]?.id}`;
  const next = run[index + 1];
  const after: Segment | undefined =
    item.place === 'supply' ? 'cord' : index < 0 ? first : next && `feed:${next.id}`;
  const x = columnX(conductor);
  const look = (segment: Segment) => `${conductor} ${input.progress(segment, conductor)}` as const;
  return [
    ...(before ? [line(x, item.top, x, item.top + spare, look(before))] : []),
    ...(after ? [line(x, item.top + item.height - spare, x, item.top + item.height, look(after))] : []),
  ];
}

function bondPart(input: CircuitDrawingInput, item: Item) {
  const x = columnX('ground');
  const y = item.top + 14;
  const { defects, hold } = marksAt(input, 'bond');
  const words = item.bond ?? [];
  return circuitPart(input, 'bond', [
    ...(input.focus === 'bond' ? focusFrame(x - 6, y - 11, 50, 32) : []),
    circle(x, y, 3, 'ground filled'),
    ...conductorLine([x, y], [x + 34, y], 'ground', input.progress('bond', 'ground')),
    line(x + 34, y - 0.5, x + 34, y + 6, 'ground tick'),
    ...chassisSign(x + 34, y + 6),
    ...(hold ? holdBar(x + 11, y, 10, 'vertical') : []),
    ...(defects.length > 0 ? breakMark(x + 21, y, 9, 'vertical') : []),
    ...wordShapes(words, item.top + (item.height - words.length * lineHeight) / 2),
    rect(x + 8, item.top, width - x - 8, item.height, 'ink touch'),
  ]);
}

function wordShapes(words: readonly Words[], top: number): PlainShape[] {
  return words.map((word, i) =>
    text(wordsX, top + i * lineHeight + 13, word.text, {
      size,
      weight: word.bold ? 'bold' : 'regular',
      look: word.look,
    }),
  );
}

function marks(input: CircuitDrawingInput, item: Item): PlainShape[] {
  const { defects, hold } = marksAt(input, item.place);
  const middle = columnX('neutral');
  const reach = columnStep + 10;
  const { top, height } = item;
  if (item.kind === 'stop') {
    const y = top + height / 2;
    return [
      ...(hold ? holdBar(middle, y - tile.height / 2 - 5, reach, 'horizontal') : []),
      ...(defects.length > 0 ? breakMark(tile.left + tile.width, y, 13, 'vertical') : []),
    ];
  }
  const y = top + height * (hold ? 0.68 : 0.5);
  return [
    ...(hold ? holdBar(middle, top + height * (defects.length > 0 ? 0.28 : 0.5), reach, 'horizontal') : []),
    ...defects.flatMap((d) =>
      d.conductor
        ? breakMark(columnX(d.conductor), y, 9, 'horizontal')
        : breakMark(middle, y, reach, 'horizontal'),
    ),
  ];
}

function key(input: CircuitDrawingInput, y: number): PlainShape[] {
  const samples = (['planned', 'landed', 'dead', 'live'] as const).flatMap((progress, i) =>
    keySample(i % 2 === 0 ? 8 : 170, y + Math.floor(i / 2) * 20, progress, progressWords[progress], 13),
  );
  if (input.focus === undefined) return samples;
  return samples;
}
