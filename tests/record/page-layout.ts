import { manners } from '../../src/record/draw/face.js';
import { Paper, type Structure } from '../../src/record/draw/paper.js';

/** A row of a table as it was drawn: where its cells begin and how far down its lines reach, on which page. */
export interface DrawnRow {
  /** From 1 in the order drawn; 0 for a label with its value. */
  table: number;
  readonly page: number;
  readonly isHead: boolean;
  readonly lefts: number[];
  top: number;
  bottom: number;
}

interface Cell {
  readonly row: DrawnRow;
}

/** Notes while a record is drawn where the cells of its tables stand, in the order drawn. To be put back with `end`. */
export function watchTables(): { readonly rows: DrawnRow[]; end(): void } {
  const { marked, set } = Paper.prototype;
  const rows: DrawnRow[] = [];
  const byElement = new Map<Structure, DrawnRow>();
  let table = 0;
  let cell: Cell | undefined;
  Paper.prototype.marked = function (this: Paper, type, draw, options = {}, parent = this.parent) {
    if (type !== 'TH' && type !== 'TD') return marked.call(this, type, draw, options, parent);
    let row = byElement.get(parent);
    if (row === undefined) {
      const isHead = options.scope === 'Column';
      if (isHead) table += 1;
      const page = this.doc.bufferedPageRange().count;
      row = { table, page, isHead, lefts: [], top: Number.POSITIVE_INFINITY, bottom: 0 };
      byElement.set(parent, row);
      rows.push(row);
    }
    const now: Cell = { row };
    marked.call(
      this,
      type,
      () => {
        cell = now;
        draw();
        cell = undefined;
      },
      options,
      parent,
    );
  };
  Paper.prototype.set = function (lines, manner, x, y) {
    if (cell !== undefined && lines.length > 0) {
      const { row } = cell;
      // Labels with their values have heads at the side alone, and belong to no table with a head above.
      if (manner === manners.label) row.table = 0;
      if (row.lefts.at(-1) !== x) row.lefts.push(x);
      row.top = Math.min(row.top, y);
      row.bottom = Math.max(row.bottom, y + lines.length * manner.leading);
    }
    set.call(this, lines, manner, x, y);
  };
  return {
    rows,
    end() {
      Object.assign(Paper.prototype, { marked, set });
    },
  };
}
