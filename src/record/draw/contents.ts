import type { RecordDocument } from '../document.js';
import { manners } from './face.js';
import { fullWidth, type Paper, page, type Structure } from './paper.js';

/** Where the contents will stand: behind the cover, filled in when the pages are known. */
export interface Contents {
  readonly element: Structure;
  readonly page: number;
  readonly y: number;
}

/** Keeps the contents' place in the reading order, at the foot of the cover. */
export function keepContents(paper: Paper): Contents {
  const element = paper.doc.struct('TOC');
  paper.parent.add(element);
  const { start, count } = paper.doc.bufferedPageRange();
  return { element, page: start + count - 1, y: paper.y };
}

/** The sections with their pages in two columns. A cover too full for them goes without: the outline has them too. */
export function drawContents(
  paper: Paper,
  { element, page: at, y }: Contents,
  { sections }: RecordDocument,
  pages: readonly number[],
): void {
  const manner = manners.muted;
  const down = Math.ceil(sections.length / 2);
  const top = page.bottom - down * manner.leading - 6;
  if (top >= y + 12) {
    paper.doc.switchToPage(at);
    paper.rule(top - 6, { width: 0.4 });
    const width = (fullWidth - 30) / 2;
    sections.forEach(({ title }, k) => {
      const x = page.left + Math.floor(k / down) * (width + 30);
      const line = top + (k % down) * manner.leading;
      const number = String(pages[k]);
      const draw = () => {
        paper.set([`${k + 1}  ${title}`], manner, x, line);
        paper.set([number], manner, x + width - paper.widthOf(number, manner), line);
      };
      paper.marked('TOCI', draw, {}, element);
    });
  }
  element.end();
}
