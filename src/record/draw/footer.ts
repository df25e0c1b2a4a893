import type { RecordDocument } from '../document.js';
import { manners } from './face.js';
import type { Paper } from './paper.js';
import { printable } from './printable.js';

/** Job, revision and page at the foot of every page. The document must keep its pages until then. */
export function drawFooters(paper: Paper, record: RecordDocument): void {
  const { start, count } = paper.doc.bufferedPageRange();
  const y = paper.bottom + 22;
  for (let k = 0; k < count; k += 1) {
    paper.doc.switchToPage(start + k);
    paper.rule(y - 5, { width: 0.4 });
    paper.artifact(() => {
      const left = printable(`Job ${record.job} · revision ${record.revision} · ${record.shop}`);
      const right = `page ${k + 1} of ${count}`;
      paper.set([left], manners.footer, paper.left, y);
      paper.set([right], manners.footer, paper.right - paper.widthOf(right, manners.footer), y);
    }, 'Pagination');
  }
}
