import { tones } from '../../drawing/appearance.js';
import { manners } from './face.js';
import type { Paper, Structure } from './paper.js';

const manner = manners.body;
const between = 1.8;
const columnGap = 18;

interface Item {
  readonly label: string;
  readonly lines: readonly string[];
  readonly height: number;
}

/** Sentences one below the other, numbered or with a dash before each; one that no page holds goes on in the next. */
export function drawList(paper: Paper, items: readonly string[], numbered: boolean): void {
  const { indent, set } = measured(paper, items, numbered, paper.fullWidth);
  const element = openList(paper);
  for (const item of set) {
    if (!paper.holds(item.height)) {
      drawLongItem(paper, element, item, indent);
      continue;
    }
    paper.ensure(item.height - between);
    drawItem(paper, element, item, { x: paper.left, y: paper.y, indent });
    paper.y += item.height;
  }
  element.end();
  paper.y += 6;
}

/** Short sentences in two columns of about one height, down the first and then the second, page by page. */
export function drawTwoColumns(paper: Paper, items: readonly string[], numbered: boolean): void {
  const width = (paper.fullWidth - columnGap) / 2;
  const { indent, set } = measured(paper, items, numbered, width);
  const element = openList(paper);
  for (let left = [...set]; left.length > 0; ) {
    const first = left.splice(0, shortestFirst(left, paper));
    const second = left.splice(0, fitting(left, Math.max(heightOf(first), heightOf(left.slice(0, 1)))));
    const top = paper.y;
    [first, second].forEach((column, k) => {
      let y = top;
      for (const item of column) {
        drawItem(paper, element, item, { x: paper.left + k * (width + columnGap), y, indent });
        y += item.height;
      }
    });
    paper.y = top + Math.max(heightOf(first), heightOf(second));
    if (left.length > 0) paper.newPage();
  }
  element.end();
  paper.y += 6;
}

function measured(paper: Paper, items: readonly string[], numbered: boolean, width: number) {
  const indent = numbered ? 20 : 13;
  const set = items.map((item, k): Item => {
    const lines = paper.linesOf(item, manner, width - indent);
    return { label: numbered ? `${k + 1}` : '–', lines, height: lines.length * manner.leading + between };
  });
  return { indent, set };
}

/** How many items the first column takes for all to stand on the page, or as many as the page has room for. */
function shortestFirst(items: readonly Item[], paper: Paper): number {
  for (let count = Math.ceil(items.length / 2); count < items.length; count += 1) {
    const height = heightOf(items.slice(0, count));
    if (height > paper.room) break;
    if (heightOf(items.slice(count)) <= height) return count;
  }
  return Math.max(1, fitting(items, paper.room));
}

function fitting(items: readonly Item[], height: number): number {
  let used = 0;
  const first = items.findIndex((item) => {
    used += item.height;
    return used > height + between;
  });
  return first < 0 ? items.length : first;
}

function heightOf(items: readonly Item[]): number {
  return items.reduce((sum, { height }) => sum + height, 0);
}

function openList(paper: Paper): Structure {
  const element = paper.doc.struct('L');
  paper.parent.add(element);
  return element;
}

function drawItem(
  paper: Paper,
  list: Structure,
  { label, lines }: Item,
  { x, y, indent }: { readonly x: number; readonly y: number; readonly indent: number },
): void {
  const entry = paper.doc.struct('LI');
  list.add(entry);
  paper.marked('Lbl', () => paper.set([label], { ...manner, ink: tones.muted }, x, y), {}, entry);
  paper.marked('LBody', () => paper.set(lines, manner, x + indent, y), {}, entry);
  entry.end();
}

/** An item that is longer than a page, with a paragraph a page. */
function drawLongItem(paper: Paper, list: Structure, { label, lines }: Item, indent: number): void {
  const entry = paper.doc.struct('LI');
  list.add(entry);
  const body = paper.doc.struct('LBody');
  let begun = false;
  paper.pageByPage(lines, manner.leading, (now) => {
    const { y } = paper;
    if (!begun) {
      paper.marked(
        'Lbl',
        () => paper.set([label], { ...manner, ink: tones.muted }, paper.left, y),
        {},
        entry,
      );
      entry.add(body);
    }
    begun = true;
    paper.marked('P', () => paper.set(now, manner, paper.left + indent, y), {}, body);
  });
  body.end();
  entry.end();
  paper.y += between;
}
