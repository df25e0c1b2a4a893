import type { Entry } from '../logbook/entry.js';
import type { ShopEntry } from '../logbook/fold-shop.js';
import { prepared, type Sql } from './database.js';

export type Row = Record<string, unknown> & { seq: number; previous: string; digest: string };

/** A job's entries as they were sealed, oldest first; the newest so many of them where that is asked. */
export function readEntries(db: Sql, job: string, newest = -1): Entry[] {
  const rows = prepared(db, 'SELECT * FROM entries WHERE job = ? ORDER BY seq DESC LIMIT ?').all(job, newest);
  return entriesOf(rows.reverse());
}

/** The shop's entries as they were sealed, oldest first; the newest so many of them where that is asked. */
export function readShopEntries(db: Sql, newest = -1): ShopEntry[] {
  const rows = prepared(db, 'SELECT * FROM shop_entries ORDER BY seq DESC LIMIT ?').all(newest);
  return entriesOf(rows.reverse());
}

/** Rows of one of the two tables as their entries: what was sealed was read by its schema when it was written. */
export function entriesOf<E extends Entry | ShopEntry>(rows: readonly unknown[]): E[] {
  return (rows as readonly Row[]).map(sealed) as unknown as E[];
}

/** A row of `entries` or `shop_entries` as the entry that was sealed. */
export function sealed(row: Row): Row {
  const { seq, at, kind, subject, previous, digest } = row;
  const by = { id: row.by_id, name: row.by_name };
  const filledIn = typeof row.filled_in === 'string' ? { filledIn: row.filled_in } : {};
  const entry = {
    seq,
    at,
    ...filledIn,
    by,
    kind,
    subject,
    body: bodyIn(row.body as string),
    previous,
    digest,
  };
  return row.job === undefined ? entry : { ...entry, job: row.job, key: row.form_key };
}

/** A text that is no JSON was never sealed: as a text it has another digest than its entry. */
function bodyIn(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return text;
  }
}
