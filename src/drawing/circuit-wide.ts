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
import type { CircuitDrawingInput } from './circuit-progress.js';
import {
  labelHeight,
  layOutWideCircuit,
  lineHeight,
  margin,
  markSpots,
  rowStep,
  type Stop,
  type Stretch,
  size,
  tile,
  type WideLayout,
  width,
} from './circuit-wide-layout.js';
import { focusWord, outletAt, progressWords, segmentWords } from './circuit-words.js';
import { type Conductor, conductors, type Place, type Segment } from './place.js';
import type { PlacedLabel } from './place-labels.js';
import { circle, line, type Part, type PlainShape, rect, type Scene, text } from './scene.js';
import { textWidth } from './text-width.js';

/** The run from left to right, 960 units across. */
export function drawWideCircuit(input: CircuitDrawingInput): Omit<Scene, 'title' | 'description'> {
  const at = layOutWideCircuit(input);
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

function background(at: WideLayout): PlainShape[] {
  const { bottom } = at;
  const right = width - 2;
  const skinTop = at.labels.length === 0 ? 8 : at.hotY - tile.rise - 9;
  return [
    rect(at.inletX, 8, right - at.inletX, bottom - 8, 'inside filled'),
    ...skin(at.inletX, skinTop, bottom - skinTop, 'vertical'),
    text(at.inletX - 10, bottom - 6, 'outside', { size: 13, anchor: 'end', look: 'muted' }),
  ];
}

function rowY(at: WideLayout, conductor: Conductor): number {
  return at.hotY + rowStep * conductors.indexOf(conductor);
}

function stretchPart(input: CircuitDrawingInput, at: WideLayout, { place, from, to, named }: Stretch): Part {
  const top = at.hotY - tile.rise;
  const middle = (from + to) / 2;
  const lines = named ? stretchWords(input, place, to - from) : [];
  return circuitPart(input, place, [
    ...(input.focus?.includes(place) ? focusFrame(from + 2, top, to - from - 4, tile.height) : []),
    ...conductors.flatMap((c) =>
      conductorLine([from, rowY(at, c)], [to, rowY(at, c)], c, input.progress(place, c)),
    ),
    ...lines.map((words, i) =>
      text(middle, rowY(at, 'ground') + 20 + i * 16, words, {
        size: wordSize,
        anchor: 'middle',
        look: 'muted',
      }),
    ),
    rect(from + apart(from, to), top, to - from - 2 * apart(from, to), tile.height, 'ink touch'),
  ]);
}

/** Between what may be touched of a length and of the stops at its ends, where the length has room for it. */
function apart(from: number, to: number): number {
  return Math.max(0, Math.min(8, (to - from - 24) / 2));
}

const wordSize = 13;

/** What a length is, in as many words as it has room for; a long run leaves that to the description and the table beside it. */
function stretchWords(input: CircuitDrawingInput, place: Segment, room: number): readonly string[] {
  const [gauge = '', length = ''] = segmentWords(input.circuit, place, input.lengthUnit);
  const choices = [...(place === 'cord' ? [[`cord, ${gauge}`, length]] : []), [gauge, length]];
  return choices.find((lines) => lines.every((words) => textWidth(words, wordSize) <= room)) ?? [];
}

function stopPart(input: CircuitDrawingInput, at: WideLayout, stop: Stop): Part {
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
    ...(input.focus?.includes(stop.place)
      ? focusFrame(stop.left - 5, top - 5, tile.width + 10, tile.height + 10)
      : []),
    rect(stop.left, top, tile.width, tile.height, 'ink boxed', 4),
    ...conductors.map((c) =>
      text(stop.x, rowY(at, c) + 5, letters[c], { size: 14, anchor: 'middle', weight: 'bold', look: c }),
    ),
    ...stopSign(stop.place, outlet?.device === 'gfci-receptacle', stop.x, top + tile.height - 20),
    ...lines.map((words, i) =>
      text(x, at.namesY + i * lineHeight, words.text, {
        size: words.size,
        anchor,
        weight: words.bold ? 'bold' : 'regular',
        look: words.bold ? 'ink' : 'muted',
      }),
    ),
    rect(stop.left, top, tile.width, tile.height + 6 + lines.length * lineHeight, 'ink touch'),
  ]);
}

function bondPart(input: CircuitDrawingInput, at: WideLayout): Part {
  const { bondX, bondY } = at;
  const from = rowY(at, 'ground');
  const { defects, hold } = marksAt(input, 'bond');
  const shown = at.bondWords.map(({ x, row, text: words, weight, look }) =>
    text(x, bondY + 9 + row * lineHeight, words, { size, weight, look }),
  );
  return circuitPart(input, 'bond', [
    ...(input.focus?.includes('bond') ? focusFrame(bondX - 14, from + 30, 28, bondY - from - 16) : []),
    circle(bondX, from, 3, 'ground filled'),
    ...conductorLine([bondX, from], [bondX, bondY], 'ground', input.progress('bond', 'ground')),
    ...chassisSign(bondX, bondY),
    ...(hold ? holdBar(bondX, from + 34, 11, 'horizontal') : []),
    ...(defects.length > 0 ? breakMark(bondX, bondY - 22, 11, 'horizontal') : []),
    ...shown,
    rect(
      bondX - 14,
      at.hotY - tile.rise + tile.height + 8,
      28,
      bondY - at.hotY + tile.rise - tile.height + 6,
      'ink touch',
    ),
  ]);
}

function marks(
  input: CircuitDrawingInput,
  at: WideLayout,
  place: Place,
  defectX: number,
  holdX: number,
): PlainShape[] {
  const { defects, hold } = marksAt(input, place);
  const isStop = at.stops.some((stop) => stop.place === place);
  const middle = rowY(at, 'neutral');
  return [
    ...(hold ? holdBar(holdX, middle, rowStep + 8, 'vertical') : []),
    ...(isStop && defects.length > 0 ? breakMark(defectX, at.hotY - tile.rise, 14, 'horizontal') : []),
    ...(isStop ? [] : defects).flatMap((d) =>
      d.conductor
        ? breakMark(defectX, rowY(at, d.conductor), 9, 'vertical')
        : breakMark(defectX, middle, rowStep + 8, 'vertical'),
    ),
  ];
}

function labelShapes(at: WideLayout, label: PlacedLabel): PlainShape[] {
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

function key(input: CircuitDrawingInput, at: WideLayout): PlainShape[] {
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
        : [...focusFrame(x + 2, y - 12, 26, 15), text(x + 38, y, focusWord, { size: 13, look: 'muted' })],
    );
}
