import { expect, test } from 'vitest';
import { faceFile } from '../../../src/record/draw/face.js';
import { loadPdfKit } from '../../../src/record/draw/pdfkit.js';
import { missingGlyphs, printable, surelyPrintable } from '../../../src/record/draw/printable.js';

test('letters that are taken to be in the face are in it, each one', () => {
  const document = new (loadPdfKit())({ autoFirstPage: false }).font(faceFile('regular'));
  const { font } = (
    document as unknown as { _font: { font: { hasGlyphForCodePoint(letter: number): boolean } } }
  )._font;
  const taken = Array.from({ length: 0x10000 }, (_, k) => k).filter((k) =>
    surelyPrintable.test(String.fromCharCode(k)),
  );
  expect(taken.length).toBeGreaterThan(300);
  expect(taken.filter((k) => !font.hasGlyphForCodePoint(k))).toEqual([]);
});

test('a letter beyond them is asked of the face itself', () => {
  expect(printable('Ω at Zoë’s, ≤ 0.5; Ж 🔧')).toBe('Ω at Zoë’s, ≤ 0.5; Ж [U+1F527]');
  expect(missingGlyphs({ note: 'a 🔧' })).toHaveLength(1);
  expect(missingGlyphs({ note: 'a Ж' })).toEqual([]);
});
