import { keptSpace } from '../circuit/figure-unit.js';
import type { Text, Weight } from './scene.js';

/** Advance widths of U+0020 to U+007E, thousandths of the size. Source: the two weights of the project's face. */
const advances: Record<Weight, readonly number[]> = {
  // biome-ignore format: a table
  regular: [200,289,426,497,497,824,609,249,303,303,418,497,249,311,249,350,497,497,497,497,497,497,497,497,497,497,249,249,497,497,497,425,847,543,588,571,615,527,494,617,652,263,479,579,486,727,647,664,566,664,569,534,536,645,515,786,513,476,539,303,350,303,497,500,542,504,553,456,555,496,292,504,544,246,247,495,255,829,547,542,555,555,347,419,338,544,467,719,446,467,425,303,241,303,497],
  // biome-ignore format: a table
  bold: [200,315,482,513,513,841,639,275,324,324,438,513,275,322,275,344,513,513,513,513,513,513,513,513,513,513,275,275,513,513,513,444,875,558,597,576,625,538,510,628,663,282,494,597,502,745,657,674,582,674,592,545,546,655,536,800,541,501,540,324,344,324,513,500,549,516,563,462,564,507,317,520,558,262,263,522,271,843,560,549,564,564,373,431,361,556,495,748,481,495,443,324,255,324,513],
};
/** Other marks that drawings write themselves. */
const marks: Record<string, number> = {
  Ω: 695,
  µ: 578,
  '·': 275,
  '–': 480,
  '—': 800,
  '…': 964,
  '×': 513,
  '±': 513,
  '°': 365,
  '≤': 513,
  '≥': 513,
};
/** Room left over, since a page may fall back on a wider face. */
const allowance = 1.05;

/** Estimated width of a text in scene units, a little on the wide side. */
export function textWidth(words: string, size: number, weight: Weight = 'regular'): number {
  let thousandths = 0;
  for (const letter of words) thousandths += thousandthsOf(letter, weight);
  return inScene(thousandths, size);
}

const inScene = (thousandths: number, size: number) => (thousandths / 1000) * size * allowance;

function thousandthsOf(letter: string, weight: Weight): number {
  return advanceOf(letter, weight) ?? ((letter.codePointAt(0) ?? 0) < 0x250 ? 700 : 1000);
}

/** Width of a text in scene units as the project's face sets it; undefined where a letter of it has no known width. */
export function faceWidth(words: string, size: number, weight: Weight): number | undefined {
  const known = [...words].map((letter) => advanceOf(letter, weight));
  return known.includes(undefined) ? undefined : textWidth(words, size, weight) / allowance;
}

function advanceOf(letter: string, weight: Weight): number | undefined {
  return advances[weight][(letter.codePointAt(0) ?? 0) - 32] ?? marks[letter];
}

/** The words, cut with an ellipsis where they are wider than `width`. */
export function fitText(words: string, width: number, size: number, weight: Weight = 'regular'): string {
  if (textWidth(words, size, weight) <= width) return words;
  let taken = thousandthsOf('…', weight);
  let end = 0;
  let behind = 0;
  for (const letter of words) {
    taken += thousandthsOf(letter, weight);
    behind += letter.length;
    if (inScene(taken, size) > width) break;
    // No space stands before the ellipsis.
    if (letter.trim() !== '') end = behind;
  }
  return `${words.slice(0, end)}…`;
}

/** The words broken into at most `lines` lines no wider than `width`; what is left over ends in an ellipsis. */
export function wrapText(
  words: string,
  width: number,
  size: number,
  lines: number,
  weight: Weight = 'regular',
): string[] {
  const out: string[] = [];
  let rest = words
    .trim()
    .replace(/\s+/g, ' ')
    .replace(keptSpace, '\u00a0')
    .split(' ')
    .filter((word) => word !== '')
    .map((word) => word.replaceAll('\u00a0', ' '))
    .flatMap((whole) => (textWidth(whole, size, weight) <= width ? [whole] : whole.split(' ')));
  while (rest.length > 0 && out.length < lines) {
    if (out.length === lines - 1) return [...out, fitText(rest.join(' '), width, size, weight)];
    const [begun, left] = partedWord(rest[0] as string, width, size, weight);
    if (left !== '') {
      out.push(begun);
      rest[0] = left;
      continue;
    }
    let taken = 1;
    while (taken < rest.length && textWidth(rest.slice(0, taken + 1).join(' '), size, weight) <= width)
      taken += 1;
    out.push(rest.slice(0, taken).join(' '));
    rest = rest.slice(taken);
  }
  return out;
}

/**
 * What a line holds of a word, and what goes on in the next: nothing where it holds all of it. It parts behind a hyphen, or where
 * the line ends: a script without spaces has no other place.
 */
function partedWord(word: string, width: number, size: number, weight: Weight): [string, string] {
  if (textWidth(word, size, weight) <= width) return [word, ''];
  const [letter = ''] = word;
  const held = fitText(word, width, size, weight).slice(0, -1) || letter;
  const begun = /^.+[-–/]/u.exec(held)?.[0] ?? held;
  return [begun, word.slice(begun.length)];
}

/** The box that a text fills: from its ascent to its descent. */
export function textBox(shape: Text): { left: number; right: number; top: number; bottom: number } {
  const width = textWidth(shape.text, shape.size, shape.weight);
  const left =
    shape.anchor === 'start' ? shape.x : shape.anchor === 'end' ? shape.x - width : shape.x - width / 2;
  return { left, right: left + width, top: shape.y - shape.size * 0.74, bottom: shape.y + shape.size * 0.22 };
}
