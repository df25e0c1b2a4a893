import type { Look } from './appearance.js';
import { marksAt } from './circuit-marks-at.js';
import type { CircuitDrawingInput } from './circuit-progress.js';
import { segmentWords, stopWords } from './circuit-words.js';
import type { Place, Segment } from './place.js';
import { fitText, wrapText } from './text-width.js';

export const width = 320;
export const size = 14;
export const lineHeight = 17;
export const tile = { left: 8, width: 106, height: 32 };
export const wordsX = 126;
const wordsWidth = width - wordsX - 6;
/** The skin passes behind the inlet's tile, clear above its words. */
export const skinDrop = 9;
/** Added to the inlet's height, so that its words stand below the skin. */
export const skinRoom = 14;
/** Added to the cord's height, so that its words end above the word on the skin's outer side. */
export const outsideRoom = 10;

export interface Words {
  readonly text: string;
  readonly look: Look;
  readonly bold: boolean;
}
/** One thing below another: a stop, or the stretch between two stops. */
export interface Item {
  readonly place: Place;
  readonly kind: 'stop' | 'stretch';
  readonly words: readonly Words[];
  /** The bond leaves the ground between the inlet and the breaker. */
  readonly bond?: readonly Words[];
  readonly top: number;
  readonly height: number;
  /** For a stop, the top of its tile; for a stretch, where its conductors begin and end. */
  readonly from: number;
  readonly to: number;
}

/** Everything of the narrow drawing from top to bottom, each as high as its words ask. */
export function stackCircuit(input: CircuitDrawingInput): Item[] {
  const { circuit } = input;
  const first: Segment = `feed:${circuit.run[0]?.id}`;
  const order: [kind: Item['kind'], place: Place, beside?: 'bond'][] = [
    ['stop', 'supply'],
    ['stretch', 'cord'],
    ['stop', 'inlet'],
    // The bond leaves here; what this wire is stands behind the breaker.
    ['stretch', first, 'bond'],
    ['stop', 'breaker'],
    ...circuit.run.flatMap((o): [Item['kind'], Place][] => [
      ['stretch', `feed:${o.id}`],
      ['stop', `outlet:${o.id}`],
    ]),
  ];
  let top = 8;
  const items = order.map(([kind, place, beside]) => {
    const bond = beside && [...lengthWords(input, beside), ...markWords(input, beside)];
    const own = kind === 'stop' ? nameWords(input, place) : lengthWords(input, place as Segment);
    const words = bond ? [] : [...own, ...markWords(input, place)];
    const lines = Math.max(words.length, bond?.length ?? 0);
    const least = kind === 'stop' ? tile.height : bond ? 44 : 34;
    const room = place === 'inlet' ? skinRoom : place === 'cord' ? outsideRoom : 0;
    const height = Math.max(least, lines * lineHeight + (kind === 'stop' ? 4 : 12)) + room;
    const from = top + (place === 'inlet' ? 2 : (height - tile.height) / 2);
    const item = { kind, place, words, top, height, from, to: from + tile.height, ...(bond ? { bond } : {}) };
    top += height;
    return item;
  });
  return items.map((item, index) => {
    const [before, after] = [items[index - 1], items[index + 1]];
    return item.kind === 'stretch' && before && after ? { ...item, from: before.to, to: after.from } : item;
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
  const { wrong, hold } = marksAt(input, place);
  const shown = (words: string, look: Look) =>
    wrapText(words, wordsWidth, size, 2, 'bold').map((line): Words => ({ text: line, look, bold: true }));
  return [...(wrong ? shown(wrong, 'defect') : []), ...(hold ? shown(hold.word, 'hold') : [])];
}

function muted(words: string): Words {
  return { text: words, look: 'muted', bold: false };
}
