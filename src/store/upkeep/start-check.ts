import { chainFault } from '../../logbook/chain.js';
import { sha256Of } from '../../logbook/sha256.js';
import type { Sql } from '../database.js';
import { chainName, type HeadRow, headOver, shopChain } from '../heads.js';
import { headsFault, newestKept } from '../heads-file.js';
import { readEntries, readShopEntries } from '../sealed-entries.js';
import { isDamage } from '../sql-error.js';

/** So many of a logbook's newest entries are gone through at the start: more than most jobs have. */
const tail = 300;

/**
 * What is wrong with a store as it can be told at once, however many jobs there are: the newest head against the one kept
 * beside the database, the newest heads themselves, and of every logbook that they name the newest entries, with the photos
 * and records of those that the newest heads are over. The rest is for `findings`. Undefined where all agrees.
 */
export function startFault(db: Sql, headsFile: string): string | undefined {
  try {
    return headsFault(db, headsFile) ?? newestFault(db);
  } catch (error) {
    if (!isDamage(error)) throw error;
    return `the database file is damaged (${(error as Error).message})`;
  }
}

function newestFault(db: Sql): string | undefined {
  const newest = db.prepare('SELECT * FROM heads ORDER BY n DESC LIMIT ?').all(newestKept + 1) as HeadRow[];
  for (const [k, row] of newest.entries()) {
    const before = newest[k + 1];
    if (before === undefined && row.n > 1) continue;
    if (row.n !== (before?.n ?? 0) + 1 || row.head !== headOver(before?.head, row.digest))
      return `head ${row.n} does not follow from the one before it`;
  }
  const ends = new Map<string, HeadRow>();
  for (const row of newest) if (!ends.has(row.chain)) ends.set(row.chain, row);
  for (const end of ends.values()) {
    const fault = tailFault(db, end, newest);
    if (fault !== undefined) return `${chainName(end.chain)}: ${fault}`;
  }
  return undefined;
}

/** The newest entries of one logbook, which must end at its newest head. */
function tailFault(db: Sql, end: HeadRow, newest: readonly HeadRow[]): string | undefined {
  const { chain } = end;
  const entries = chain === shopChain ? readShopEntries(db, tail) : readEntries(db, chain, tail);
  const [first, last] = [entries[0], entries.at(-1)];
  if (first === undefined || last === undefined || last.seq < end.seq)
    return `entry ${end.seq} was written and is gone`;
  if (last.seq > end.seq) return `entry ${last.seq} has no head over it`;
  const before = first.seq > 1 ? { seq: first.seq - 1, digest: first.previous } : undefined;
  const fault = chainFault(entries, before);
  if (fault !== undefined) return fault;
  for (const { seq, digest } of newest.filter((row) => row.chain === chain)) {
    const entry = entries.find((e) => e.seq === seq);
    if (entry === undefined) continue;
    if (entry.digest !== digest) return `entry ${seq} is not the one that was written`;
    const spoilt = attachedFault(db, entry);
    if (spoilt !== undefined) return spoilt;
  }
  return undefined;
}

/** A photo or record goes by its digest: the one that an entry names must be there, byte for byte. */
function attachedFault(
  db: Sql,
  { kind, body }: { readonly kind: string; readonly body: unknown },
): string | undefined {
  const { photo, sha256 } = body as { photo?: string; sha256?: string };
  const [what, id, find] =
    kind === 'photo added'
      ? ['photo', photo ?? '', 'SELECT jpeg FROM photos WHERE id = ?']
      : kind === 'record issued'
        ? ['record', sha256 ?? '', 'SELECT pdf FROM records WHERE sha256 = ?']
        : [];
  if (find === undefined || id === undefined) return undefined;
  const bytes = db.prepare(find).pluck().get(id) as Buffer | undefined;
  if (bytes === undefined) return `${what} ${id.slice(0, 12)} is gone`;
  const kept = sha256Of(bytes) === id;
  return kept ? undefined : `${what} ${id.slice(0, 12)} is not what was kept`;
}
