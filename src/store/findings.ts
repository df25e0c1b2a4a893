import { createHash } from 'node:crypto';
import { chainStart, entryDigest } from '../logbook/chain.js';
import { packageRoot } from '../package-root.js';
import { openDatabase, type Sql } from './database.js';
import { chainName, type HeadRow, headOver, headsFault, type Row, sealed, shopChain } from './heads.js';
import { migrate, readMigrations } from './migrate.js';

/** One thing in a data folder that does not agree with the rest: which table, which row, and what. */
export interface Finding {
  readonly table: string;
  readonly row: string;
  readonly what: string;
}

/**
 * Goes through a whole store, row by row, and names everything that does not agree: the file's own structure, its tables and
 * triggers, every chain entry by entry, the heads over them, photos and records byte for byte, and the ends of
 * logbooks that issued records speak of. Holds one row in memory at a time. Reads one moment of a store that others write.
 */
export function* findings(db: Sql, headsFile?: string): Generator<Finding> {
  const behind = headsFile === undefined ? undefined : headsFault(db, headsFile);
  if (behind !== undefined) yield { table: 'heads.json', row: '', what: behind };
  db.exec('BEGIN');
  try {
    yield* structure(db);
    yield* layout(db);
    yield* headChain(db);
    yield* chains(db);
    yield* headsAndEntries(db);
    yield* attachments(db);
    yield* issuedRecords(db);
    yield* keys(db);
  } finally {
    db.exec('ROLLBACK');
  }
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

/** Tables, triggers and indexes are held against a database that the same migrations make anew. */
function* layout(db: Sql): Generator<Finding> {
  const version = db.pragma('user_version', { simple: true }) as number;
  const applied = readMigrations(`${packageRoot}/migrations`).slice(0, version);
  const recorded = db.prepare('SELECT name, digest FROM migrations ORDER BY number').all() as {
    name: string;
    digest: string;
  }[];
  for (const { name, digest } of applied)
    if (recorded.find((row) => row.name === name)?.digest !== digest)
      yield { table: 'migrations', row: name, what: 'is not the one of this program' };
  const fresh = openDatabase(':memory:');
  migrate(fresh, applied, '');
  const wanted = objects(fresh);
  fresh.close();
  const found = objects(db);
  for (const [name, sql] of wanted)
    if (found.get(name) !== sql)
      yield { table: name, row: '', what: found.has(name) ? 'is laid out otherwise' : 'is not there' };
  for (const name of found.keys())
    if (!wanted.has(name)) yield { table: name, row: '', what: 'does not belong here' };
}

function objects(db: Sql): Map<string, string> {
  const rows = db.prepare("SELECT name, coalesce(sql, '') AS sql FROM sqlite_schema ORDER BY name").all();
  return new Map((rows as { name: string; sql: string }[]).map(({ name, sql }) => [name, sql]));
}

function* headChain(db: Sql): Generator<Finding> {
  let before: HeadRow | undefined;
  for (const row of db.prepare('SELECT * FROM heads ORDER BY n').iterate() as Iterable<HeadRow>) {
    if (row.n !== (before?.n ?? 0) + 1 || row.head !== headOver(before?.head, row.digest))
      yield { table: 'heads', row: String(row.n), what: 'does not follow from the one before it' };
    before = row;
  }
}

function* chains(db: Sql): Generator<Finding> {
  const all = [
    ['entries', db.prepare('SELECT * FROM entries ORDER BY job, seq')],
    ['shop_entries', db.prepare('SELECT * FROM shop_entries ORDER BY seq')],
  ] as const;
  for (const [table, select] of all) {
    let last: Row | undefined;
    for (const row of select.iterate() as Iterable<Row>) {
      const before = last?.job === row.job ? last : undefined;
      const what = wrongIn(
        table === 'entries' ? { ...sealed(row), job: row.job, key: row.form_key } : sealed(row),
        before,
      );
      if (what !== undefined) yield { table, row: rowName(row), what };
      last = row;
    }
  }
}

function wrongIn(entry: Row, before: Row | undefined): string | undefined {
  const due = (before?.seq ?? 0) + 1;
  if (entry.seq !== due) return `stands where entry ${due} should`;
  if (entry.previous !== (before?.digest ?? chainStart)) return 'does not follow from the one before it';
  return entryDigest(entry) === entry.digest ? undefined : 'is not what was written';
}

function rowName({ job, seq }: Row): string {
  return `entry ${seq} of ${chainName(job === undefined ? shopChain : String(job))}`;
}

/** Each entry has its head, and each head its entry. */
function* headsAndEntries(db: Sql): Generator<Finding> {
  const entries = `SELECT job AS chain, seq, digest FROM entries
    UNION ALL SELECT '${shopChain}', seq, digest FROM shop_entries`;
  const headless = db.prepare(
    `SELECT e.chain, e.seq FROM (${entries}) AS e LEFT JOIN heads AS h ON h.digest = e.digest
     WHERE h.n IS NULL OR h.chain <> e.chain OR h.seq <> e.seq`,
  );
  for (const { chain, seq } of headless.iterate() as Iterable<{ chain: string; seq: number }>)
    yield { table: 'entries', row: `entry ${seq} of ${chainName(chain)}`, what: 'has no head over it' };
  const lost = db.prepare(
    `SELECT h.n, h.chain, h.seq FROM heads AS h
     LEFT JOIN entries AS e ON e.digest = h.digest LEFT JOIN shop_entries AS s ON s.digest = h.digest
     WHERE e.digest IS NULL AND s.digest IS NULL`,
  );
  for (const { n, chain, seq } of lost.iterate() as Iterable<HeadRow>)
    yield {
      table: 'heads',
      row: String(n),
      what: `entry ${seq} of ${chainName(chain)} was written and is gone`,
    };
}

/** Photos and records go by their digests: each is what it was, and each that an entry names is there. */
function* attachments(db: Sql): Generator<Finding> {
  const kept = [
    ['photos', 'SELECT id, jpeg AS bytes FROM photos'],
    ['records', 'SELECT sha256 AS id, pdf AS bytes FROM records'],
  ] as const;
  for (const [table, select] of kept)
    for (const { id, bytes } of db.prepare(select).iterate() as Iterable<{ id: string; bytes: Buffer }>)
      if (createHash('sha256').update(bytes).digest('hex') !== id)
        yield { table, row: id, what: 'is not what was kept' };
  const named = [
    ['photos', 'photo added', '$.photo', 'id'],
    ['records', 'record issued', '$.sha256', 'sha256'],
  ] as const;
  for (const [table, kind, path, column] of named) {
    const gone = db.prepare(
      `SELECT e.job, e.seq, json_extract(e.body, '${path}') AS id FROM entries AS e
       LEFT JOIN ${table} AS t ON t.${column} = json_extract(e.body, '${path}')
       WHERE e.kind = ? AND t.${column} IS NULL`,
    );
    for (const row of gone.iterate(kind) as Iterable<Row & { id: string }>)
      yield { table, row: row.id, what: `is named by ${rowName(row)} and is gone` };
  }
}

/** A record carries the end of the logbook as it was issued: a history that was shortened or exchanged since is noticed. */
function* issuedRecords(db: Sql): Generator<Finding> {
  const unsaid = db.prepare(
    `SELECT r.job, r.revision FROM records AS r LEFT JOIN entries AS e
       ON e.job = r.job AND e.kind = 'record issued' AND json_extract(e.body, '$.sha256') = r.sha256
     WHERE e.seq IS NULL`,
  );
  for (const { job, revision } of unsaid.iterate() as Iterable<{ job: string; revision: number }>)
    yield {
      table: 'entries',
      row: chainName(job),
      what: `says nothing of the issue of revision ${revision}: it was shortened`,
    };
  const endless = db.prepare(
    `SELECT e.job, e.seq, json_extract(e.body, '$.revision') AS revision FROM entries AS e
     LEFT JOIN entries AS h ON h.job = e.job AND h.digest = json_extract(e.body, '$.head') AND h.seq < e.seq
     WHERE e.kind = 'record issued' AND h.seq IS NULL`,
  );
  for (const row of endless.iterate() as Iterable<Row & { revision: number }>)
    yield {
      table: 'entries',
      row: rowName(row),
      what: `names an end of the logbook for revision ${row.revision} that the logbook does not have`,
    };
}

/** The key that signs is there, closed. */
function* keys(db: Sql): Generator<Finding> {
  const missing = db.prepare(
    `SELECT json_extract(body, '$.fingerprint') AS fingerprint FROM shop_entries WHERE kind = 'key made'
     AND NOT EXISTS (SELECT 1 FROM secrets WHERE name = 'key:' || json_extract(body, '$.fingerprint'))
     AND seq = (SELECT max(seq) FROM shop_entries WHERE kind = 'key made')`,
  );
  for (const { fingerprint } of missing.iterate() as Iterable<{ fingerprint: string }>)
    yield { table: 'secrets', row: `key:${fingerprint}`, what: 'the key that signs is gone' };
}
