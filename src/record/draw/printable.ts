import type { Issue } from '../../errors.js';
import { faceFile } from './face.js';
import { loadPdfKit } from './pdfkit.js';

/** The part of a face that tells whether it has a letter. */
interface Face {
  hasGlyphForCodePoint(codePoint: number): boolean;
}
let face: Face | undefined;

/**
 * The text with every letter that the record's face lacks written as its number, "[U+1F527]": a letter without a glyph would
 * vanish from the page unseen, and entries are never rewritten. Control characters become spaces.
 */
export function printable(text: string): string {
  return [...text.normalize('NFC').replace(/[\p{Cc}\u2028\u2029]/gu, ' ')]
    .map((letter) => (isPrintable(letter) ? letter : byNumber(letter)))
    .join('');
}

/** One issue a text that holds letters the record's face lacks, naming the text and the letters. */
export function missingGlyphs(texts: Readonly<Record<string, string>>): Issue[] {
  return Object.entries(texts).flatMap(([field, text]) => {
    const lacking = [
      ...new Set([...text.normalize('NFC')].filter((l) => !/\p{Cc}/u.test(l) && !isPrintable(l))),
    ];
    return lacking.length === 0
      ? []
      : [
          {
            field,
            message: `“${text.slice(0, 60)}” has letters that the record cannot print: ${lacking.join(' ')}`,
          },
        ];
  });
}

/** The same for everything written in the entries of a job, one line a text; a signature's strokes are no text. */
export function lettersNotPrinted(entries: readonly { readonly body: unknown }[]): string[] {
  const texts = new Set(entries.flatMap(({ body }) => textsIn(body)));
  return missingGlyphs(Object.fromEntries([...texts].map((text) => [text, text]))).map((i) => i.message);
}

function textsIn(value: unknown): string[] {
  if (typeof value === 'string') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(textsIn) : [];
}

/** Letters of which the face has every one (a test asks it), so that the pages of a shop seldom need to open it. */
export const surelyPrintable = /^[\u0020-\u007e\u00a0-\u017f–—‘’“”…·×°µΩ≤≥]$/u;

function isPrintable(letter: string): boolean {
  if (surelyPrintable.test(letter)) return true;
  face ??= openFace();
  return face.hasGlyphForCodePoint(letter.codePointAt(0) ?? 0);
}

function openFace(): Face {
  const PDFDocument = loadPdfKit();
  const document = new PDFDocument({ autoFirstPage: false }).font(faceFile('regular'));
  return (document as unknown as { _font: { font: Face } })._font.font;
}

/** A letter by its number in Unicode: "[U+1F527]". */
export function byNumber(letter: string): string {
  return `[U+${(letter.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}]`;
}
