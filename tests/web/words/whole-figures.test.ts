import { expect, test } from 'vitest';
import { oneDirection, wholeFigures } from '../../../src/web/words/whole-figures.js';

test.each([
  ['<p>9.9 A of 15 A</p>', '<p>9.9~A of 15~A</p>'],
  ['<p>7.62 m (25 ft), 12 AWG (3.31 mm²)</p>', '<p>7.62~m (25~ft), 12~AWG (3.31~mm²)</p>'],
  ['<p>1.6 N·m, 50 °C, 20 MΩ; 40 minutes, 3 moves</p>', '<p>1.6~N·m, 50~°C, 20~MΩ; 40 minutes, 3 moves</p>'],
  [
    '<p>outlet 2, revision 1, 26 Nov 2026, 19:05 UTC</p>',
    '<p>outlet~2, revision~1, 26~Nov~2026, 19:05~UTC</p>',
  ],
  ['<p>0.08 Ω ± 0.021 Ω</p>', '<p>0.08~Ω ±~0.021~Ω</p>'],
  ['<p>14.2 in-lbf</p>', '<p>14.2~in-\u2060lbf</p>'],
  ['<text x="1 m">9 A</text>', '<text x="1 m">9~A</text>'],
  ['<option value="a">15 A, 120 V</option>', '<option value="a">15~A, 120~V</option>'],
])('%s keeps its figures with their units', (html, whole) => {
  expect(wholeFigures(html)).toBe(whole.replaceAll('~', '\u00a0'));
});

test.each([
  '<input value="9.9 A of 15 A">',
  '<textarea name="note">read at 9.9 A</textarea>',
  '<p>At bench 2 and 3 Amber Lane, by 2 Vans</p>',
])('%s stays as it is', (html) => {
  expect(wholeFigures(html)).toBe(html);
});

test('a mark that turns the reading direction is shown by its number, and kept in a field', () => {
  const typed = 'by \u202eInes\u2069';
  const field = `<input value="${typed}"><textarea>${typed}</textarea>`;
  expect(oneDirection(`<p title="${typed}">${typed}: 0.02 Ω</p>${field}`)).toBe(
    `<p title="${typed}">by [U+202E]Ines[U+2069]: 0.02 Ω</p>${field}`,
  );
});

test.each([
  ['<p>at مقعد الخياطة 0.3 A</p>', '<p>at [مقعد الخياطة] 0.3 A</p>'],
  ['<p>شركة (نهر) 7 والشركاء · شارع 12, bay 3</p>', '<p>[شركة (نهر) 7 والشركاء] · [شارع] 12, bay 3</p>'],
  ['<text>על הקיר…</text>', '<text>[על הקיר…]</text>'],
  ['<input value="شارع"><textarea>شارع</textarea>', '<input value="شارع"><textarea>شارع</textarea>'],
])(
  '%s: what is read from right to left stands apart, and the figure behind it keeps its place',
  (html, apart) => {
    expect(oneDirection(html)).toBe(apart.replaceAll('[', '\u2068').replaceAll(']', '\u2069'));
  },
);

test.each([
  ['<input value="', '1 A ', '">'],
  ['<p>', '1 A ', '</p>'],
  ['<textarea>', 'א, ', '</textarea>'],
  ['<p>', '\u202e', '</p>'],
])('a field of a hundred thousand figures holds nobody up: %s%s…', (before, piece, behind) => {
  const html = before + piece.repeat(100_000) + behind;
  const begun = performance.now();
  oneDirection(wholeFigures(html));
  expect(performance.now() - begun).toBeLessThan(1500);
});
