import { Buffer } from 'node:buffer';
import type { RecordDocument } from '../document.js';
import { manners } from './face.js';
import type { Paper, Structure } from './paper.js';

/** Where the contents will stand: behind the cover, filled in when the pages are known. */
export interface Contents {
  readonly element: Structure;
  readonly page: number;
  readonly y: number;
  /** How much of the page was written before it. */
  readonly behind: number;
}

/** Keeps the contents' room and their place in the reading order, behind the cover. */
export function keepContents(paper: Paper, { sections }: RecordDocument): Contents {
  const height = rowsDown(sections) * manners.muted.leading + 14;
  paper.ensure(height + 20);
  const element = paper.doc.struct('TOC');
  paper.parent.add(element);
  const { start, count } = paper.doc.bufferedPageRange();
  const { y } = paper;
  paper.y += height;
  return { element, page: start + count - 1, y, behind: written(paper).length };
}

/** The sections with their pages in two columns, written where their place was kept and not last on their page. */
export function drawContents(
  paper: Paper,
  { element, page: at, y, behind }: Contents,
  { sections }: RecordDocument,
  pages: readonly number[],
): void {
  const manner = manners.muted;
  const down = rowsDown(sections);
  const width = (paper.fullWidth - 30) / 2;
  paper.doc.switchToPage(at);
  const content = written(paper);
  const before = content.length;
  paper.rule(y + 2, { width: 0.4 });
  sections.forEach(({ title }, k) => {
    const x = paper.left + Math.floor(k / down) * (width + 30);
    const line = y + 8 + (k % down) * manner.leading;
    const number = String(pages[k]);
    const draw = () => {
      paper.set([`${k + 1}  ${title}`], manner, x, line);
      paper.set([number], manner, x + width - paper.widthOf(number, manner), line);
    };
    paper.marked('TOCI', draw, {}, element);
  });
  element.end();
  const own = content.splice(before);
  content.splice(behind, 0, Buffer.from('q\n'), ...own, Buffer.from('Q\n'));
}

/** What is written on the present page so far, piece by piece; the document keeps its pages open until its end. */
function written({ doc }: Paper): Uint8Array[] {
  return (doc.page as unknown as { content: { buffer: Uint8Array[] } }).content.buffer;
}

function rowsDown(sections: RecordDocument['sections']): number {
  return Math.ceil(sections.length / 2);
}
