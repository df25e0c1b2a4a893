import { chainStart } from '../logbook/chain.js';
import type { Entry } from '../logbook/entry.js';
import type { ShopEntry } from '../logbook/fold-shop.js';
import { sha256Of } from '../logbook/sha256.js';
import { prepared, type Sql } from './database.js';

/** The name of the shop's own chain among the heads; a job's chain goes by the job's number. */
export const shopChain = 'shop';

export interface HeadRow {
  readonly n: number;
  readonly chain: string;
  readonly seq: number;
  readonly digest: string;
  readonly head: string;
}

/** Adds an entry's digest to the one head over all chains. Call it in the transaction that writes the entry. */
export function addHead(db: Sql, chain: string, seq: number, digest: string): void {
  const last = lastHead(db);
  const head = headOver(last?.head, digest);
  prepared(db, 'INSERT INTO heads (n, chain, seq, digest, head) VALUES (?, ?, ?, ?, ?)').run(
    (last?.n ?? 0) + 1,
    chain,
    seq,
    digest,
    head,
  );
}

/** The newest head, or undefined in an empty store. */
export function lastHead(db: Sql): HeadRow | undefined {
  return prepared(db, 'SELECT * FROM heads ORDER BY n DESC LIMIT 1').get() as HeadRow | undefined;
}

/** The head over all chains once the entry with this digest is written. */
export function headOver(before: string | undefined, digest: string): string {
  return sha256Of(`${before ?? chainStart}${digest}`);
}

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

export function chainName(chain: string): string {
  return chain === shopChain ? 'the shop’s logbook' : `the logbook of job ${chain}`;
}
