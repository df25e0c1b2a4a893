import { expect, test } from 'vitest';
import { manners } from '../../../src/record/draw/face.js';
import { Paper } from '../../../src/record/draw/paper.js';
import { loadPdfKit } from '../../../src/record/draw/pdfkit.js';

const PDFDocument = loadPdfKit();
const doc = new PDFDocument({ autoFirstPage: false });
const paper = new Paper(doc, doc.struct('Document'), 'A4');
const wide = (text: string) => paper.widthOf(text, manners.body) + 1;

test('a figure does not part from its unit at a line’s end', () => {
  for (const [text, most] of [
    ['It draws 9.9 A of 15 A, 3 moves', 'It draws 9.9'],
    ['the long bond of 8 AWG (8.37 mm²) copper', 'the long bond of 8'],
  ] as const) {
    const lines = paper.linesOf(text, manners.body, wide(most));
    expect(lines[0]).toBe(most.replace(/ [\d.]+$/, ''));
    expect(lines.join(' ')).toBe(text);
    expect(
      lines.slice(0, -1).filter((line, k) => /\d$/.test(line) && /^(A\b|AWG|mm²)/.test(lines[k + 1] ?? '')),
    ).toEqual([]);
  }
});

test('in a column with no room for both, the figure stands above its unit, and neither is torn', () => {
  expect(paper.linesOf('14.25 in-lbf', manners.body, wide('in-lbf'))).toEqual(['14.25', 'in-lbf']);
});
