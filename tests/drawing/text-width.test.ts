import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import fc from 'fast-check';
import PDFDocument from 'pdfkit';
import { expect, test } from 'vitest';
import { fitText, textWidth, wrapText } from '../../src/drawing/text-width.js';

const face = (name: string) =>
  createRequire(import.meta.url).resolve(`@expo-google-fonts/source-sans-3/${name}/SourceSans3_${name}.ttf`);

test.each([
  ['regular', '400Regular'],
  ['bold', '600SemiBold'],
] as const)(
  'the estimated width of %s text is that of the face, and at most a tenth above it',
  (weight, name) => {
    const doc = new PDFDocument().registerFont('face', readFileSync(face(name)));
    doc.font('face').fontSize(14);
    const printable = fc.string({ unit: 'grapheme-ascii', minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(printable, (words) => {
        const real = doc.widthOfString(words, { features: [] });
        expect(textWidth(words, 14, weight)).toBeGreaterThanOrEqual(real - 0.2);
        expect(textWidth(words, 14, weight)).toBeLessThanOrEqual(real * 1.12 + 0.2);
      }),
    );
  },
);

test('fitted text is never wider than its room, and is left alone where it fits', () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 80 }), fc.integer({ min: 20, max: 300 }), (words, room) => {
      const shown = fitText(words, room, 14);
      expect(textWidth(shown, 14)).toBeLessThanOrEqual(room);
      if (textWidth(words, 14) <= room) expect(shown).toBe(words);
      else expect(shown.endsWith('…')).toBe(true);
    }),
  );
});

test('wrapped text keeps to its lines and its room, and loses no word without an ellipsis', () => {
  fc.assert(
    fc.property(fc.array(fc.stringMatching(/^[a-z]{1,12}$/), { maxLength: 12 }), (list) => {
      const lines = wrapText(list.join(' '), 90, 14, 3);
      expect(lines.length).toBeLessThanOrEqual(3);
      for (const line of lines) expect(textWidth(line, 14)).toBeLessThanOrEqual(90);
      if (!lines.some((line) => line.endsWith('…'))) expect(lines.join(' ')).toBe(list.join(' '));
    }),
  );
});
