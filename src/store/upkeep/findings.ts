import { openDatabase, type Sql } from '../database.js';
import { chainName } from '../heads.js';
import { headsFault } from '../heads-file.js';
import { migrate, ownMigrations } from '../migrate.js';
import { isDamage } from '../sql-error.js';
import { chainFindings } from './chain-findings.js';
import type { Finding, Part } from './finding.js';
import { recordFindings } from './record-findings.js';

/**
 * Goes through a whole store, row by row, and names everything that does not agree: its tables and triggers, the file's own
 * structure, every chain entry by entry, the heads over them, photos and records byte for byte, and the ends of
 * logbooks that issued records speak of. Holds one row in memory at a time. Reads one moment of a store that others write.
 * Where a table is not what it should be, nothing is asked of it: a stranger's file may have put anything in its place.
 */
export function* findings(db: Sql, headsFile?: string): Generator<Finding> {
  const odd = oddities(db);
  const unknown = odd.some(({ holdsRows }) => holdsRows);
  const behind = headsFile === undefined || unknown ? undefined : headsFault(db, headsFile);
  if (behind !== undefined) yield { table: 'heads.json', row: '', what: behind };
  for (const { name, what } of odd) yield { table: name, row: '', what };
  if (unknown)
    return yield { table: 'the file', row: '', what: 'is laid out otherwise; its rows were not looked at' };
  db.exec('BEGIN');
  try {
    for (const part of [...parts, ...chainFindings, ...recordFindings]) yield* readable(db, part);
  } finally {
    db.exec('ROLLBACK');
  }
}

const parts: readonly Part[] = [
  { of: 'migrations', look: appliedMigrations },
  { of: 'the file', look: structure },
];

function* readable(db: Sql, { of, look }: Part): Generator<Finding> {
  try {
    yield* look(db);
  } catch (error) {
    if (!isDamage(error)) throw error;
    yield { table: of, row: '', what: `cannot be read to its end (${(error as Error).message})` };
  }
}

interface Oddity {
  readonly name: string;
  readonly what: string;
  readonly holdsRows: boolean;
}

/** Tables, triggers and indexes are held against a database that the same migrations make anew. */
function oddities(db: Sql): Oddity[] {
  const version = db.pragma('user_version', { simple: true }) as number;
  const fresh = openDatabase(':memory:');
  try {
    migrate(fresh, migrationsUpTo(version), '');
    const [wanted, found] = [layoutOf(fresh), layoutOf(db)];
    const missing = [...wanted].flatMap(([name, { type, sql }]) => {
      const there = found.get(name);
      if (there?.type === type && there.sql === sql) return [];
      const what = there === undefined ? 'is not there' : 'is laid out otherwise';
      return [{ name, what, holdsRows: type === 'table' }];
    });
    const more = [...found.keys()].filter((name) => !wanted.has(name));
    return [
      ...missing,
      ...more.map((name) => ({ name, what: 'does not belong here', holdsRows: false })),
    ].sort((a, b) => (a.name < b.name ? -1 : 1));
  } finally {
    fresh.close();
  }
}

function migrationsUpTo(version: number) {
  return ownMigrations().slice(0, version);
}

function layoutOf(db: Sql): Map<string, { type: string; sql: string }> {
  const rows = db.prepare("SELECT name, type, coalesce(sql, '') AS sql FROM sqlite_schema ORDER BY name");
  return new Map((rows.all() as { name: string; type: string; sql: string }[]).map((row) => [row.name, row]));
}

function* appliedMigrations(db: Sql): Generator<Finding> {
  const recorded = db.prepare('SELECT name, digest FROM migrations ORDER BY number').all() as {
    name: string;
    digest: string;
  }[];
  const applied = migrationsUpTo(db.pragma('user_version', { simple: true }) as number);
  for (const { name, digest } of applied)
    if (recorded.find((row) => row.name === name)?.digest !== digest)
      yield { table: 'migrations', row: name, what: 'is not the one of this program' };
}

function* structure(db: Sql): Generator<Finding> {
  const rows = db.pragma('integrity_check(100)') as { integrity_check: string }[];
  for (const { integrity_check: what } of rows) if (what !== 'ok') yield { table: 'the file', row: '', what };
  const orphans = db.pragma('foreign_key_check') as { table: string; rowid: number | null; parent: string }[];
  const belongs = (parent: string) => `belongs to a row of ${parent} that is not there`;
  for (const { table, rowid, parent } of orphans)
    if (rowid !== null) yield { table, row: String(rowid), what: belongs(parent) };
  // A table without row numbers names none: the job itself says which rows are meant.
  const jobless = db.prepare('SELECT DISTINCT job FROM entries WHERE job NOT IN (SELECT number FROM jobs)');
  for (const { job } of jobless.iterate() as Iterable<{ job: string }>)
    yield { table: 'entries', row: chainName(job), what: belongs('jobs') };
}
