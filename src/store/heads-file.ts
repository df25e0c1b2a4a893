import { closeSync, fdatasyncSync, fsyncSync, openSync, readFileSync, renameSync, writeSync } from 'node:fs';
import { z } from 'zod';
import { jsonIn } from '../circuit/json-text.js';
import { chainStart } from '../logbook/chain.js';
import { sha256Of } from '../logbook/sha256.js';
import { prepared, type Sql } from './database.js';
import { chainName, type HeadRow, lastHead } from './heads.js';
import { syncFolder } from './sync-folder.js';

/** So many of the newest heads are named in heads.json: what was lost can then be told by its number. */
export const newestKept = 32;

/** Bytes of one of the two lines of heads.json, its end included: a page of the disk, so that it never grows or moves. */
const lineBytes = 4096;

const named = z.object({ n: z.number().int(), chain: z.string(), seq: z.number().int() });
const kept = z.object({ n: z.number().int().min(0), head: z.string(), newest: z.array(named) });
type Kept = z.output<typeof kept>;
const headsFile1 = kept.extend({ format: z.literal('inlet-heads/1') });
const headsLine = kept.extend({ format: z.literal('inlet-heads/2'), sha256: z.string() });

/** heads.json of a store that is open for writing. */
interface HeadsFile {
  /** The newest heads that the file does not name yet. Call it as the last of a transaction: asked later, it would be a read of its own. */
  ahead(): readonly NewestHead[];
  /**
   * Puts heads that are committed on the disk, where there are any: over the older of the two lines, in place, so that a write that is
   * torn leaves the line before it, no room is asked for, and one confirmation does. Call it after the commit and before anyone is
   * answered.
   */
  follow(more: readonly NewestHead[]): void;
  /** Writes the file anew and whole, where it may be gone or of an older format. */
  renew(): void;
}

export function openHeads(db: Sql, file: string): HeadsFile {
  // The line that is written next; the other one is on the disk, and names these, once one was written here.
  let next = 1;
  let newest: readonly NewestHead[] = [];
  return {
    ahead: () => newestHeads(db, newest.at(-1)?.n),
    follow(more) {
      if (more.length === 0) return;
      const grown = [...newest, ...more].slice(-newestKept);
      const handle = openSync(file, 'r+');
      try {
        const line = headsText(grown);
        const written = writeSync(handle, line, 0, line.length, next * lineBytes);
        if (written !== line.length) throw Object.assign(new Error('a short write'), { code: 'ENOSPC' });
        fdatasyncSync(handle);
      } finally {
        closeSync(handle);
      }
      next = 1 - next;
      newest = grown;
    },
    renew() {
      writeHeads(db, file);
      next = 1;
    },
  };
}

/** Writes heads.json whole, both lines alike, with a new file in the place of the old one. */
export function writeHeads(db: Sql, file: string): void {
  const line = headsText(newestHeads(db));
  const handle = openSync(`${file}.tmp`, 'w', 0o600);
  try {
    writeSync(handle, Buffer.concat([line, line]));
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
  renameSync(`${file}.tmp`, file);
  syncFolder(file.slice(0, file.lastIndexOf('/')));
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

/** What heads.json keeps: of its two lines the newer one that is whole. */
export function readHeads(file: string): Kept | 'absent' | 'unreadable' {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'ENOENT' ? 'absent' : 'unreadable';
  }
  const lines = text.split('\n').flatMap((line) => {
    const one = headsLine.safeParse(jsonIn(line)).data;
    return one !== undefined && one.sha256 === digestOf(one) ? [one] : [];
  });
  const newest = lines.toSorted((a, b) => b.n - a.n)[0];
  return newest ?? headsFile1.safeParse(jsonIn(text)).data ?? 'unreadable';
}

type NewestHead = Pick<HeadRow, 'n' | 'chain' | 'seq' | 'head'>;

/** The newest heads, oldest first, as many as the file names; of them those after the n-th where one is given. */
function newestHeads(db: Sql, after = 0): readonly NewestHead[] {
  const text = 'SELECT n, chain, seq, head FROM heads WHERE n > ? ORDER BY n DESC LIMIT ?';
  return (prepared(db, text).all(after, newestKept) as NewestHead[]).reverse();
}

/** One line of heads.json, as long as every other. */
function headsText(newest: readonly NewestHead[]): Buffer {
  const last = newest.at(-1);
  const body: Kept = {
    n: last?.n ?? 0,
    head: last?.head ?? chainStart,
    newest: newest.map(({ n, chain, seq }) => ({ n, chain, seq })),
  };
  const line = JSON.stringify({ format: 'inlet-heads/2', ...body, sha256: digestOf(body) });
  return Buffer.from(`${line.padEnd(lineBytes - 1)}\n`);
}

function digestOf({ n, head, newest }: Kept): string {
  return sha256Of(JSON.stringify([n, head, newest.map((row) => [row.n, row.chain, row.seq])]));
}
