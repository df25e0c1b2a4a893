import type { Sql } from '../database.js';

/** One thing in a data folder that does not agree with the rest: which table, which row, and what. */
export interface Finding {
  readonly table: string;
  readonly row: string;
  readonly what: string;
}

/** A finding as one line for a person. */
export function findingText({ table, row, what }: Finding): string {
  return row === '' ? `${table}: ${what}` : `${table}, ${row}: ${what}`;
}

/** A part of what is looked through, which one that cannot be read does not keep from the others. */
export interface Part {
  readonly of: string;
  readonly look: (db: Sql) => Iterable<Finding>;
}
