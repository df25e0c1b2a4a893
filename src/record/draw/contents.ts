import type { RecordDocument } from '../document.js';
import { manners } from './face.js';
import type { Paper, Structure } from './paper.js';

/** Where the contents will stand: behind the cover, filled in when the pages are known. */
export interface Contents {
  readonly element: Structure;
  readonly page: number;
  readonly y: number;
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
  return { element, page: start + count - 1, y };
}

/** The sections with their pages in two columns. */
export function drawContents(
  paper: Paper,
  { element, page: at, y }: Contents,
  { sections }: RecordDocument,
  pages: readonly number[],
): void {
  const manner = manners.muted;
  const down = rowsDown(sections);
  const width = (paper.fullWidth - 30) / 2;
  paper.doc.switchToPage(at);
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
}

function rowsDown(sections: RecordDocument['sections']): number {
  return Math.ceil(sections.length / 2);
}
