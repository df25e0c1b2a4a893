import { Buffer } from 'node:buffer';
import type { RecordDocument } from '../document.js';
import { manners } from './face.js';
import type { Paper, Structure } from './paper.js';
import { printable } from './printable.js';

/** Where the contents will stand: behind the cover, filled in when the pages are known. */
interface Contents {
  readonly element: Structure;
  readonly page: number;
  readonly y: number;
  /** How much of the page was written before it. */
  readonly behind: number;
}

/** Where a section begins: its page by number and as the file names it, and its height from the page's foot, pt. */
export interface Beginning {
  readonly number: number;
  readonly page: PDFKit.PDFKitReference;
  readonly height: number;
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

/** The sections with their pages in two columns, each a link to its section, written where their place was kept and not last on their page. */
export function drawContents(
  paper: Paper,
  { element, page: at, y, behind }: Contents,
  { sections }: RecordDocument,
  begins: readonly Beginning[],
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
    const { number, page, height } = begins[k]!;
    const draw = () => {
      paper.set([`${k + 1}  ${title}`], manner, x, line);
      const said = String(number);
      paper.set([said], manner, x + width - paper.widthOf(said, manner), line);
    };
    const box = [x, line, width, manner.leading] as const;
    const words = printable(`${k + 1} ${title}, page ${number}`);
    link(paper, element, draw, box, { Dest: [page, 'XYZ', null, height, null], Contents: new String(words) });
  });
  element.end();
  const own = content.splice(before);
  content.splice(behind, 0, Buffer.from('q\n'), ...own, Buffer.from('Q\n'));
}

/** An entry that leads on, as its words and its place on the page; whoever hears it or has no pointer finds it by its structure. */
function link(
  { doc }: Paper,
  contents: Structure,
  draw: () => void,
  [x, y, width, height]: readonly [number, number, number, number],
  where: object,
): void {
  const element = doc.struct('Link');
  const reference = doc.struct('Reference').add(element);
  const entry = doc.struct('TOCI').add(reference);
  contents.add(entry);
  element.add(draw);
  doc.annotate(x, y, width, height, {
    Subtype: 'Link',
    structParent: element,
    ...where,
  } as PDFKit.Mixins.AnnotationOption);
  entry.end();
}

/** What is written on the present page so far, piece by piece; the document keeps its pages open until its end. */
function written({ doc }: Paper): Uint8Array[] {
  return (doc.page as unknown as { content: { buffer: Uint8Array[] } }).content.buffer;
}

function rowsDown(sections: RecordDocument['sections']): number {
  return Math.ceil(sections.length / 2);
}
