import { expect, test } from 'vitest';
import { type Block, heading, list, paragraph, table } from '../../../src/record/document/block.js';
import { drawBlocks } from '../../../src/record/draw/blocks.js';
import { Paper } from '../../../src/record/draw/paper.js';
import { loadPdfKit } from '../../../src/record/draw/pdfkit.js';

const PDFDocument = loadPdfKit();

test('a heading, the sentence below it and the table that this introduces begin on one page, wherever they come', () => {
  const blocks = [
    heading('Earlier readings'),
    paragraph('Readings that a later one replaced.', 'muted'),
    table(
      'Earlier readings',
      [
        ['Entry', 1],
        ['Read', 3],
      ],
      [
        [[{ text: '71' }], [{ text: '0 V' }]],
        [[{ text: '72' }], [{ text: '0 V' }]],
      ],
    ),
  ];
  for (let room = 20; room < 200; room += 7) {
    const doc = new PDFDocument({ autoFirstPage: false, bufferPages: true });
    const paper = new Paper(doc, doc.struct('Document'), 'letter');
    paper.newPage();
    paper.y = paper.bottom - room;
    const pages = new Set<number>();
    const { marked } = paper;
    paper.marked = (...marks) => {
      pages.add(doc.bufferedPageRange().count);
      return marked.apply(paper, marks);
    };
    drawBlocks(paper, blocks, () => undefined);
    expect([room, pages.size]).toEqual([room, 1]);
  }
});

test.each<[string, Block]>([
  ['an item of a list', list([`${'word '.repeat(2500)}end`, 'The next one.'], true)],
  ['a value beside its label', { kind: 'pairs', rows: [['Note', `${'word '.repeat(2500)}end`]] }],
])(
  '%s that no page holds goes on in the next, with nothing below the foot and every word set',
  (_, block) => {
    const doc = new PDFDocument({ autoFirstPage: false, bufferPages: true });
    const root = doc.struct('Document');
    doc.addStructure(root);
    const paper = new Paper(doc, root, 'letter');
    paper.newPage();
    paper.y = paper.bottom - 100;
    const set: string[] = [];
    const low: number[] = [];
    const { set: setLines } = paper;
    paper.set = (lines, manner, x, y) => {
      set.push(...lines);
      low.push(y + lines.length * manner.leading);
      setLines.call(paper, lines, manner, x, y);
    };
    drawBlocks(paper, [block], () => undefined);
    expect(doc.bufferedPageRange().count).toBeGreaterThan(2);
    expect(Math.max(...low)).toBeLessThanOrEqual(paper.bottom);
    expect(set.join(' ').match(/word/g)).toHaveLength(2500);
    expect(set.join(' ')).toContain('end');
  },
);
