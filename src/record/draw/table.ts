import { tones } from '../../drawing/appearance.js';
import type { Cell, GroupRow, NoteRow, Table, UnderRow } from '../document/block.js';
import { drawLines, fitting, padding, rowHeight, type SetLine, setLines } from './cells.js';
import { manners } from './face.js';
import type { Paper, Structure } from './paper.js';

const gutter = 10;
/** A row too high to be kept whole begins with at least so much on a page, pt. */
const leastOfRow = 70;

interface Place {
  readonly x: number;
  readonly width: number;
}
/**
 * A table over the full width. Its head stands again on every page; a row goes whole to the next page where it fits there, and is
 * cut between lines where it does not.
 */
export function drawTable(paper: Paper, table: Table): void {
  const places = placesOf(paper, table);
  const element = paper.doc.struct('Table', { title: table.summary });
  paper.parent.add(element);
  drawHead(paper, table, places, element);
  table.rows.forEach((row, k) => {
    if ('group' in row) drawGroup(paper, table, places, element, k, row);
    else if ('note' in row) drawNote(paper, table, places, element, row);
    else if ('under' in row) drawUnder(paper, table, places, element, row);
    else drawRow(paper, table, places, element, row);
  });
  element.end();
  paper.y += 10;
}

/** What a page must have left for a table to begin on it with its head and its first two rows, pt. */
export function tableBeginning(paper: Paper, table: Table): number {
  const places = placesOf(paper, table);
  const first = table.rows.findIndex((row) => !('group' in row));
  return (
    headHeight(headCells(paper, table, places)) +
    beginning(paper, table, places, 0) +
    beginning(paper, table, places, first + 1)
  );
}

function placesOf(paper: Paper, { columns }: Table): Place[] {
  const shares = columns.reduce((sum, c) => sum + c.share, 0);
  const unit = (paper.fullWidth - gutter * (columns.length - 1)) / shares;
  let x: number = paper.left;
  return columns.map(({ share }) => {
    const place = { x, width: unit * share };
    x += place.width + gutter;
    return place;
  });
}

function drawHead(paper: Paper, table: Table, places: readonly Place[], element: Structure): void {
  const cells = headCells(paper, table, places);
  paper.ensure(tableBeginning(paper, table));
  const { y } = paper;
  const row = paper.doc.struct('TR');
  element.add(row);
  cells.forEach((lines, k) => {
    paper.marked('TH', () => paper.set(lines, manners.head, places[k]!.x, y + 2), { scope: 'Column' }, row);
  });
  row.end();
  underHead(paper, cells);
}

/** What a page must have left for the row to begin on it: a group's name never stands without what it names. */
function beginning(paper: Paper, table: Table, places: readonly Place[], k: number): number {
  const row = table.rows[k];
  if (row === undefined) return 0;
  if ('group' in row) return groupHeight(groupNames(paper, row)) + beginning(paper, table, places, k + 1);
  if ('note' in row) return noteHeight(noteLines(paper, row).slice(0, mostNoteLines(paper)));
  if ('under' in row) return leastToBegin(paper, table, places, underHeight(paper, places, row));
  const whole = rowHeight(cellsOf(paper, places, row));
  return leastToBegin(paper, table, places, whole);
}

/** A row goes whole where it is short, or with its beginning. */
function leastToBegin(paper: Paper, table: Table, places: readonly Place[], whole: number): number {
  const onePage = paper.bottom - paper.top - headHeight(headCells(paper, table, places));
  return whole <= onePage / 3 ? whole : Math.min(whole, leastOfRow);
}

function headCells(paper: Paper, { columns }: Table, places: readonly Place[]): string[][] {
  return columns.map((c, k) => paper.linesOf(c.head, manners.head, places[k]!.width));
}

/** Goes on under the head again on a new page where less than `height` is left on this one. */
function ensure(paper: Paper, table: Table, places: readonly Place[], height: number): void {
  if (paper.room >= height) return;
  paper.newPage();
  const cells = headCells(paper, table, places);
  const { y } = paper;
  paper.artifact(() => {
    cells.forEach((lines, k) => {
      paper.set(lines, manners.head, places[k]!.x, y + 2);
    });
  }, 'Pagination');
  underHead(paper, cells);
}

function underHead(paper: Paper, cells: readonly string[][]): void {
  paper.y += headHeight(cells);
  paper.rule(paper.y, { ink: tones.muted, width: 0.8 });
}

function headHeight(cells: readonly string[][]): number {
  return Math.max(...cells.map((lines) => lines.length)) * manners.head.leading + 5;
}

/** The name of a group over all columns, what is beside it at the right edge. */
function drawGroup(
  paper: Paper,
  table: Table,
  places: readonly Place[],
  element: Structure,
  k: number,
  row: GroupRow,
): void {
  const manner = manners.group;
  const { beside } = row;
  const names = groupNames(paper, row);
  ensure(paper, table, places, beginning(paper, table, places, k));
  const y = paper.y + 9;
  drawAcross(paper, element, { type: 'TH', columns: places.length }, () => {
    paper.set(names, manner, paper.left, y);
    if (beside !== '') paper.set([beside], manners.cellMuted, paper.right - besideWidth(paper, row), y + 1.5);
  });
  paper.y += groupHeight(names);
  paper.rule(paper.y);
}

function groupNames(paper: Paper, row: GroupRow): string[] {
  return paper.linesOf(row.group, manners.group, paper.fullWidth - besideWidth(paper, row) - gutter);
}

function besideWidth(paper: Paper, { beside }: GroupRow): number {
  return beside === '' ? 0 : paper.widthOf(`${beside} `, manners.cellMuted);
}

function groupHeight(names: readonly string[]): number {
  return 9 + names.length * manners.group.leading + 2;
}

/** A row over all columns, of no more lines than a page takes. */
function drawNote(
  paper: Paper,
  table: Table,
  places: readonly Place[],
  element: Structure,
  row: NoteRow,
): void {
  const all = noteLines(paper, row);
  const most = mostNoteLines(paper);
  for (let at = 0; at < all.length; at += most) {
    const lines = all.slice(at, at + most);
    const height = noteHeight(lines);
    ensure(paper, table, places, height);
    const y = paper.y + padding.top;
    drawAcross(paper, element, { type: 'TD', columns: places.length }, () =>
      paper.set(lines, manners.cell, paper.left, y),
    );
    paper.y += height;
    paper.rule(paper.y);
  }
}

function noteLines(paper: Paper, { note }: NoteRow): string[] {
  return paper.linesOf(note, manners.cell, paper.fullWidth);
}

function mostNoteLines(paper: Paper): number {
  return Math.floor((paper.bottom - paper.top) / manners.cell.leading) - 8;
}

function noteHeight(lines: readonly string[]): number {
  return padding.top + lines.length * manners.cell.leading + padding.bottom;
}

function drawAcross(
  paper: Paper,
  element: Structure,
  { type, columns }: { readonly type: 'TH' | 'TD'; readonly columns: number },
  draw: () => void,
): void {
  const row = paper.doc.struct('TR');
  element.add(row);
  paper.marked(type, draw, { columns, ...(type === 'TH' ? { scope: 'Row' as const } : {}) }, row);
  row.end();
}

function drawRow(
  paper: Paper,
  table: Table,
  places: readonly Place[],
  element: Structure,
  row: readonly Cell[],
): void {
  let cells = cellsOf(paper, places, row);
  while (cells.some((lines) => lines.length > 0)) {
    ensure(paper, table, places, leastToBegin(paper, table, places, rowHeight(cells)));
    const now = cells.map((lines) => fitting(lines, paper.room - padding.top - padding.bottom));
    drawCells(paper, places, element, now);
    paper.y += rowHeight(now);
    paper.rule(paper.y);
    cells = cells.map((lines, k) => lines.slice(now[k]!.length));
  }
}

/** A row and what belongs to it below, together on one page where they are not too high for that. */
function drawUnder(
  paper: Paper,
  table: Table,
  places: readonly Place[],
  element: Structure,
  row: UnderRow,
): void {
  const whole = underHeight(paper, places, row);
  if (leastToBegin(paper, table, places, whole) < whole) {
    drawRow(paper, table, places, element, row.cells);
    drawNote(paper, table, places, element, { note: row.under });
    return;
  }
  ensure(paper, table, places, whole);
  const below = paper.y + whole;
  drawCells(paper, places, element, cellsOf(paper, places, row.cells));
  const lines = underLines(paper, row);
  const y = below - padding.bottom - lines.length * manners.cellMuted.leading;
  drawAcross(paper, element, { type: 'TD', columns: places.length }, () =>
    paper.set(lines, manners.cellMuted, paper.left, y),
  );
  paper.y = below;
  paper.rule(paper.y);
}

function underHeight(paper: Paper, places: readonly Place[], row: UnderRow): number {
  const below = underLines(paper, row).length * manners.cellMuted.leading;
  return rowHeight(cellsOf(paper, places, row.cells)) + below;
}

function underLines(paper: Paper, { under }: UnderRow): string[] {
  return paper.linesOf(under, manners.cellMuted, paper.fullWidth);
}

function cellsOf(paper: Paper, places: readonly Place[], row: readonly Cell[]): SetLine[][] {
  return row.map((cell, k) => setLines(paper, cell, places[k]!.width));
}

function drawCells(
  paper: Paper,
  places: readonly Place[],
  element: Structure,
  cells: readonly (readonly SetLine[])[],
): void {
  const top = paper.y + padding.top;
  const row = paper.doc.struct('TR');
  element.add(row);
  cells.forEach((lines, k) => {
    const draw = () => drawLines(paper, lines, places[k]!.x, top);
    // Each other cell is told with the first one: whoever hears "fail" hears of what.
    if (k === 0) paper.marked('TH', draw, { scope: 'Row' }, row);
    else paper.marked('TD', draw, {}, row);
  });
  row.end();
}
