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
  'the estimated width of %s text is that of its letters in the face and at most a tenth above, enough for words as they are set',
  (weight, name) => {
    const doc = new PDFDocument().registerFont('face', readFileSync(face(name)));
    doc.font('face').fontSize(14);
    // Set in words some pairs stand closer than their letters are wide ("T,") and a few farther ("[j").
    const lettersOf = (words: string) =>
      [...words].reduce((sum, letter) => sum + doc.widthOfString(letter), 0);
    const printable = fc.string({ unit: 'grapheme-ascii', minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(printable, (words) => {
        expect(textWidth(words, 14, weight)).toBeGreaterThanOrEqual(lettersOf(words));
        expect(textWidth(words, 14, weight)).toBeLessThanOrEqual(lettersOf(words) * 1.1 + 0.2);
      }),
      { examples: [['T,'], ['P.'], ['[j']] },
    );
    const phrase = fc.stringMatching(/^[A-Z]?[a-z]{1,12}( [a-z0-9]{1,8}){0,4}$/);
    fc.assert(
      fc.property(phrase, (words) => {
        expect(textWidth(words, 14, weight)).toBeGreaterThanOrEqual(doc.widthOfString(words) - 0.2);
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
      else {
        // One letter more, a space not counted, would not have had room.
        const more = words.slice(0, words.length - words.slice(shown.length - 1).trimStart().length + 1);
        expect(shown).toBe(`${words.slice(0, shown.length - 1)}…`);
        expect(textWidth(`${more}…`, 14)).toBeGreaterThan(room);
      }
    }),
  );
});

test('wrapped text keeps to its lines and its room, parts no word that a line holds, and loses no letter without an ellipsis', () => {
  fc.assert(
    fc.property(fc.array(fc.stringMatching(/^[a-z]{1,12}$/), { maxLength: 12 }), (list) => {
      const lines = wrapText(list.join(' '), 90, 14, 3);
      expect(lines.length).toBeLessThanOrEqual(3);
      for (const line of lines) expect(textWidth(line, 14)).toBeLessThanOrEqual(90);
      if (lines.some((line) => line.endsWith('…'))) return;
      expect(lines.join('').replaceAll(' ', '')).toBe(list.join(''));
      const set = lines.flatMap((line) => line.split(' '));
      for (const word of list) if (textWidth(word, 14) <= 90) expect(set).toContain(word);
    }),
  );
});

test.each([
  ['Donaudampfschifffahrtselektrizitaet am Ende', ['Donaudampfschifffah', 'rtselektrizitaet am Ende']],
  ['運転席の後ろの左壁にある縫製台の上のコンセント口', ['運転席の後ろの左壁', 'にある縫製台の上の…']],
  ['Wzdłużnica-Überschallgeschwindigkeit links', ['Wzdłużnica-', 'Überschallgeschwindi…']],
  ['at the Donaudampfschifffahrtselektrizitaetenwerk', ['at the', 'Donaudampfschifffah…']],
])('%s goes on in the next line, since no line holds its word', (words, lines) => {
  expect(wrapText(words, 152, 14, 2)).toEqual(lines);
});
