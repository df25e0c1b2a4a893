import { createHash } from 'node:crypto';
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from 'node:fs';
import { z } from 'zod';
import { chainStart } from '../logbook/chain.js';
import { prepared, type Sql } from './database.js';
import { syncFolder } from './sync-folder.js';

/** The name of the shop's own chain among the heads; a job's chain goes by the job's number. */
export const shopChain = 'shop';

/** So many of the newest heads lie in heads.json. */
export const newestKept = 32;
const headRow = z.object({
  n: z.number().int(),
  chain: z.string(),
  seq: z.number().int(),
  digest: z.string(),
  head: z.string(),
});
export type HeadRow = z.output<typeof headRow>;
const headsFile = z.object({
  format: z.literal('inlet-heads/1'),
  n: z.number().int().min(0),
  head: z.string(),
  newest: z.array(headRow),
});

/** Adds an entry's digest to the one head over all chains. Call it in the transaction that writes the entry. */
export function addHead(db: Sql, chain: string, seq: number, digest: string): void {
  const last = lastHead(db);
  const head = headOver(last?.head, digest);
  db.prepare('INSERT INTO heads (n, chain, seq, digest, head) VALUES (?, ?, ?, ?, ?)').run(
    (last?.n ?? 0) + 1,
    chain,
    seq,
    digest,
    head,
  );
}

/** The newest head, or undefined in an empty store. */
export function lastHead(db: Sql): HeadRow | undefined {
  return db.prepare('SELECT * FROM heads ORDER BY n DESC LIMIT 1').get() as HeadRow | undefined;
}

/**
 * Writes the newest heads into a file beside heads.json, fsynced, and answers how to put it in its place. Called before the
 * commit, so that a disk without room for it refuses the entries with it; the answer is called after the commit and
 * before anyone is answered, so that a tail that the database loses later is missed when it is next opened.
 */
export function stageHeads(db: Sql, file: string): () => void {
  const rows = db.prepare('SELECT * FROM heads ORDER BY n DESC LIMIT ?').all(newestKept) as HeadRow[];
  const newest = rows.reverse();
  const last = newest.at(-1);
  const body = { format: 'inlet-heads/1', n: last?.n ?? 0, head: last?.head ?? chainStart, newest };
  const handle = openSync(`${file}.tmp`, 'w', 0o600);
  try {
    writeSync(handle, `${JSON.stringify(body, undefined, 1)}\n`);
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  return () => {
    renameSync(`${file}.tmp`, file);
    syncFolder(file.slice(0, file.lastIndexOf('/')));
  };
}

/** The newest heads of what is committed, beside the database. */
export function writeHeads(db: Sql, file: string): void {
  stageHeads(db, file)();
}

/** What the heads kept beside the database say against it. */
export function headsFault(db: Sql, file: string): string | undefined {
  // In this order, since whoever writes beside this reader puts the heads in their place after the entries.
  const kept = readHeads(file);
  const last = lastHead(db);
  if (kept === 'absent')
    return last === undefined ? undefined : 'heads.json is gone from beside the database';
  if (kept === 'unreadable') return 'heads.json beside the database cannot be read';
  // The database may be ahead by what was committed just before a crash; it may never be behind.
  if (kept.n > (last?.n ?? 0)) {
    const gone = kept.newest.find((row) => row.n > (last?.n ?? 0));
    return `the database has lost ${kept.n - (last?.n ?? 0)} of the newest entries${gone ? `, from entry ${gone.seq} of ${chainName(gone.chain)}` : ''}`;
  }
  if (kept.n === 0) return undefined;
  const same = db.prepare('SELECT head FROM heads WHERE n = ?').get(kept.n) as { head: string } | undefined;
  return same?.head === kept.head
    ? undefined
    : 'the entries are not the ones that heads.json was written for';
}

/** The head over all chains once the entry with this digest is written. */
export function headOver(before: string | undefined, digest: string): string {
  return createHash('sha256')
    .update(`${before ?? chainStart}${digest}`)
    .digest('hex');
}

export type Row = Record<string, unknown> & { seq: number; previous: string; digest: string };

/** A job's entries as they were sealed, oldest first; the newest so many of them where that is asked. */
export function readEntries(db: Sql, job: string, newest = -1): Row[] {
  const rows = prepared(db, 'SELECT * FROM entries WHERE job = ? ORDER BY seq DESC LIMIT ?').all(job, newest);
  return (rows as Row[]).reverse().map(sealed);
}

/** The shop's entries as they were sealed, oldest first; the newest so many of them where that is asked. */
export function readShopEntries(db: Sql, newest = -1): Row[] {
  const rows = prepared(db, 'SELECT * FROM shop_entries ORDER BY seq DESC LIMIT ?').all(newest);
  return (rows as Row[]).reverse().map(sealed);
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
  return chain === shopChain ? "the shop's logbook" : `the logbook of job ${chain}`;
}

function readHeads(file: string): z.output<typeof headsFile> | 'absent' | 'unreadable' {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'ENOENT' ? 'absent' : 'unreadable';
  }
  try {
    return headsFile.parse(JSON.parse(text));
  } catch {
    return 'unreadable';
  }
}
