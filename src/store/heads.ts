import { createHash } from 'node:crypto';
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from 'node:fs';
import { z } from 'zod';
import { chainFault, chainStart } from '../logbook/chain.js';
import type { Sql } from './database.js';
import { syncFolder } from './sync-folder.js';

/** The name of the shop's own chain among the heads; a job's chain goes by the job's number. */
export const shopChain = 'shop';

const newestKept = 32;
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

/**
 * What is wrong with the store as it can be told at once, however many jobs there are: the newest head against the one
 * kept beside the database, and every chain that the newest heads name. The rest is for `findings`. Undefined where all agrees.
 */
export function startFault(db: Sql, file: string): string | undefined {
  return headsFault(db, file) ?? newestFault(db);
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

function newestFault(db: Sql): string | undefined {
  const newest = db.prepare('SELECT * FROM heads ORDER BY n DESC LIMIT ?').all(newestKept + 1) as HeadRow[];
  for (const [k, row] of newest.entries()) {
    const before = newest[k + 1];
    if (before === undefined && row.n > 1) continue;
    if (row.n !== (before?.n ?? 0) + 1 || row.head !== headOver(before?.head, row.digest))
      return `head ${row.n} does not follow from the one before it`;
  }
  for (const chain of new Set(newest.map((row) => row.chain))) {
    const fault = chainFault(chain === shopChain ? readShopEntries(db) : readEntries(db, chain));
    if (fault !== undefined) return `${chainName(chain)}: ${fault}`;
    const spoilt = chain === shopChain ? undefined : attachedFault(db, chain);
    if (spoilt !== undefined) return `${chainName(chain)}: ${spoilt}`;
  }
  return undefined;
}

/** The head over all chains once the entry with this digest is written. */
export function headOver(before: string | undefined, digest: string): string {
  return createHash('sha256')
    .update(`${before ?? chainStart}${digest}`)
    .digest('hex');
}

/** Photos and records go by their digests: those that a job's entries name must be there, byte for byte. */
function attachedFault(db: Sql, job: string): string | undefined {
  for (const { what, kind, id, find } of attached) {
    const named = db
      .prepare(`SELECT DISTINCT json_extract(body, ?) AS id FROM entries WHERE job = ? AND kind = ?`)
      .all(id, job, kind) as { id: string }[];
    for (const { id } of named) {
      const bytes = db.prepare(find).pluck().get(id) as Buffer | undefined;
      if (bytes === undefined) return `${what} ${id.slice(0, 12)} is gone`;
      if (createHash('sha256').update(bytes).digest('hex') !== id)
        return `${what} ${id.slice(0, 12)} is not what was kept`;
    }
  }
  return undefined;
}

const attached = [
  {
    what: 'photo',
    kind: 'photo added',
    id: '$.photo',
    find: 'SELECT jpeg FROM photos WHERE id = ?',
  },
  {
    what: 'record',
    kind: 'record issued',
    id: '$.sha256',
    find: 'SELECT pdf FROM records WHERE sha256 = ?',
  },
] as const;

export type Row = Record<string, unknown> & { seq: number; previous: string; digest: string };

/** A job's entries as they were sealed, oldest first. */
export function readEntries(db: Sql, job: string): Row[] {
  return (db.prepare('SELECT * FROM entries WHERE job = ? ORDER BY seq').all(job) as Row[]).map((row) => ({
    ...sealed(row),
    job: row.job,
    key: row.form_key,
  }));
}

/** The shop's entries as they were sealed, oldest first. */
export function readShopEntries(db: Sql): Row[] {
  return (db.prepare('SELECT * FROM shop_entries ORDER BY seq').all() as Row[]).map(sealed);
}

export function sealed(row: Row): Row {
  const { seq, at, kind, subject, previous, digest } = row;
  const by = { id: row.by_id, name: row.by_name };
  const filledIn = typeof row.filled_in === 'string' ? { filledIn: row.filled_in } : {};
  return { seq, at, ...filledIn, by, kind, subject, body: JSON.parse(row.body as string), previous, digest };
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
