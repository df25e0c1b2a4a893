import type { Source } from './source.js';

/** One table as it was published: rows in its own units, never interpolated. A row may carry a source of its own. */
export interface PublishedTable<Row> {
  readonly title: string;
  readonly unit: string;
  readonly source: Source;
  readonly note?: string;
  readonly rows: readonly Row[];
}

/** The row that a test picks out, or undefined; a neighbour is never taken instead. */
export function rowWhere<Row>(table: PublishedTable<Row>, matches: (row: Row) => boolean): Row | undefined {
  return table.rows.find(matches);
}
