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
import { marksAt } from './circuit-marks-at.js';
import {
  type Item,
  lineHeight,
  outsideRoom,
  size,
  skinDrop,
  skinRoom,
  stackCircuit,
  tile,
  type Words,
  width,
  wordsX,
} from './circuit-narrow-layout.js';
import type { CircuitDrawingInput } from './circuit-progress.js';
import { focusWord, outletAt, progressWords } from './circuit-words.js';
import { type Conductor, conductors, type Segment } from './place.js';
import { circle, line, type PlainShape, rect, type Scene, type Shape, text } from './scene.js';

/** The run from top to bottom, 320 units across: what a phone shows. */
export function drawNarrowCircuit(input: CircuitDrawingInput): Omit<Scene, 'title' | 'description'> {
  const items = stackCircuit(input);
  const bottom = items.reduce((sum, item) => Math.max(sum, item.top + item.height), 0) + 6;
  const inlet = items.find((item) => item.place === 'inlet');
  const skinY = (inlet?.top ?? 0) + skinDrop;
  return {
    width,
    height: bottom + (input.focus === undefined ? 54 : 74),
    shapes: [
      rect(0, skinY, width, bottom - skinY, 'inside filled'),
      ...skin(0, skinY, width, 'horizontal'),
      text(width - 8, skinY - skinDrop - 6, 'outside', { size: 13, anchor: 'end', look: 'muted' }),
      ...items
        .filter((item) => item.kind === 'stop' && input.focus?.includes(item.place))
        .flatMap((item) =>
          focusFrame(
            3,
            item.from - 5,
            width - 6,
            Math.max(item.to - item.from + 10, item.top + item.height - item.from + 5),
          ),
        ),
      ...items.flatMap((item): Shape[] => [
        ...(item.kind === 'stretch' ? [stretchPart(input, item)] : []),
        ...(item.bond ? [bondPart(input, item)] : []),
      ]),
      ...items.filter((item) => item.kind === 'stop').map((item) => stopPart(input, item)),
      ...items.filter((item) => item.bond === undefined).flatMap((item) => marks(input, item)),
      ...key(input, bottom + 22),
    ],
  };
}

const firstX = 26;
const columnStep = 22;
const signX = 96;

function columnX(conductor: Conductor): number {
  return firstX + columnStep * conductors.indexOf(conductor);
}

function stretchPart(input: CircuitDrawingInput, item: Item) {
  const segment = item.place as Segment;
  const { top, height, from, to } = item;
  const left = columnX('hot') - 14;
  const across = columnX('ground') + 14 - left;
  const clear = item.place === 'cord' ? outsideRoom : 0;
  return circuitPart(input, item.place, [
    ...(input.focus?.includes(item.place) ? focusFrame(left, from + 2, across, to - from - 4) : []),
    ...conductors.flatMap((c) =>
      conductorLine([columnX(c), from], [columnX(c), to], c, input.progress(segment, c)),
    ),
    ...wordShapes(item.words, top + (height - clear - item.words.length * lineHeight) / 2),
    rect(0, top, item.bond ? columnX('ground') : width, height, 'ink touch'),
  ]);
}

function stopPart(input: CircuitDrawingInput, item: Item) {
  const outlet = outletAt(input.circuit, item.place);
  const middle = (item.from + item.to) / 2;
  const clear = item.place === 'inlet' ? skinRoom : 0;
  return circuitPart(input, item.place, [
    rect(tile.left, item.from, tile.width, tile.height, 'ink boxed', 4),
    ...conductors.map((c) =>
      text(columnX(c), middle + 5, letters[c], { size, anchor: 'middle', weight: 'bold', look: c }),
    ),
    ...stopSign(item.place, outlet?.device === 'gfci-receptacle', signX, middle),
    ...wordShapes(item.words, item.top + clear + (item.height - clear - item.words.length * lineHeight) / 2),
    rect(0, item.top, width, item.height, 'ink touch'),
  ]);
}

function bondPart(input: CircuitDrawingInput, item: Item) {
  const x = columnX('ground');
  const y = item.top + 14;
  const { defects, hold } = marksAt(input, 'bond');
  const words = item.bond ?? [];
  return circuitPart(input, 'bond', [
    ...(input.focus?.includes('bond') ? focusFrame(x - 6, y - 11, 50, 32) : []),
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
  const { from, to } = item;
  const along = (share: number) => from + (to - from) * share;
  if (item.kind === 'stop') {
    const y = (item.from + item.to) / 2;
    return [
      ...(hold ? holdBar(middle, item.from - 6, reach, 'horizontal') : []),
      ...(defects.length > 0 ? breakMark(tile.left + tile.width, y, 13, 'vertical') : []),
    ];
  }
  const y = along(hold ? 0.68 : 0.5);
  return [
    ...(hold ? holdBar(middle, along(defects.length > 0 ? 0.26 : 0.5), reach, 'horizontal') : []),
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
  return [
    ...samples,
    ...focusFrame(12, y + 27, 26, 15),
    text(50, y + 40, focusWord, { size: 13, look: 'muted' }),
  ];
}
