import { sha256Of } from '../../logbook/sha256.js';
import { signedFacts } from '../../record/signed-facts.js';
import type { Sql } from '../database.js';
import { chainName } from '../heads.js';
import type { Row } from '../sealed-entries.js';
import { entryName } from './chain-findings.js';
import type { Finding, Part } from './finding.js';

/** Photos and records by their digests, what records say of the logbooks they were made from, and the key that signs. */
export const recordFindings: readonly Part[] = [
  { of: 'photos', look: photos },
  { of: 'records', look: records },
  { of: 'photos', look: (db) => gone(db, 'photos', 'photo added', '$.photo', 'id') },
  { of: 'records', look: (db) => gone(db, 'records', 'record issued', '$.sha256', 'sha256') },
  { of: 'entries', look: unsaid },
  { of: 'entries', look: endless },
  { of: 'secrets', look: keys },
];

/** A body that is no JSON has been named by its chain; here it says nothing. */
const said = (path: string) => `CASE WHEN json_valid(e.body) THEN json_extract(e.body, '${path}') END`;

function* photos(db: Sql): Generator<Finding> {
  const all = db.prepare('SELECT id, jpeg FROM photos').iterate();
  for (const { id, jpeg } of all as Iterable<{ id: string; jpeg: Buffer }>)
    if (sha256Of(jpeg) !== id) yield { table: 'photos', row: id, what: 'is not what was kept' };
}

/** A record carries, under its signature, the end of the logbook as it was issued: a history that was shortened or exchanged since, heads and all, is noticed. */
function* records(db: Sql): Generator<Finding> {
  const entryAt = db.prepare('SELECT digest FROM entries WHERE job = ? AND seq = ?');
  const all = db.prepare('SELECT sha256, job, revision, pdf FROM records').iterate();
  for (const row of all as Iterable<{ sha256: string; job: string; revision: number; pdf: Buffer }>) {
    const found = (what: string) => ({ table: 'records', row: row.sha256, what });
    if (sha256Of(row.pdf) !== row.sha256) {
      yield found('is not what was kept');
      continue;
    }
    const facts = signedFacts(row.pdf);
    if (typeof facts === 'string') {
      yield found(`is not a record as it was issued: ${facts}`);
      continue;
    }
    if (facts.job !== row.job || facts.revision !== row.revision)
      yield found(
        `stands as revision ${row.revision} of job ${row.job}, and is revision ${facts.revision} of job ${facts.job}`,
      );
    const end = entryAt.get(row.job, facts.entries) as { digest: string } | undefined;
    if (facts.entries > 0 && end?.digest !== facts.head)
      yield {
        table: 'entries',
        row: chainName(row.job),
        what:
          end === undefined
            ? `ends before entry ${facts.entries}, with which revision ${row.revision} was issued: it was shortened`
            : `has another entry ${facts.entries} than the one that revision ${row.revision} was issued with: it was exchanged`,
      };
  }
}

function* gone(db: Sql, table: string, kind: string, path: string, column: string): Generator<Finding> {
  const named = db.prepare(
    `SELECT e.job, e.seq, ${said(path)} AS id FROM entries AS e
     LEFT JOIN ${table} AS t ON t.${column} = ${said(path)}
     WHERE e.kind = ? AND json_valid(e.body) AND t.${column} IS NULL`,
  );
  for (const row of named.iterate(kind) as Iterable<Row & { id: unknown }>)
    yield { table, row: String(row.id), what: `is named by ${entryName(row)} and is gone` };
}

/** Every record that is kept was issued by an entry. */
function* unsaid(db: Sql): Generator<Finding> {
  const untold = db.prepare(
    `SELECT r.job, r.revision FROM records AS r LEFT JOIN entries AS e
       ON e.job = r.job AND e.kind = 'record issued' AND ${said('$.sha256')} = r.sha256
     WHERE e.seq IS NULL`,
  );
  for (const { job, revision } of untold.iterate() as Iterable<{ job: string; revision: number }>)
    yield {
      table: 'entries',
      row: chainName(job),
      what: `says nothing of the issue of revision ${revision}: it was shortened`,
    };
}

/** Every issue names an entry of the logbook as its end: by a digest, so one before it. */
function* endless(db: Sql): Generator<Finding> {
  const astray = db.prepare(
    `SELECT e.job, e.seq, ${said('$.revision')} AS revision FROM entries AS e
     LEFT JOIN entries AS h ON h.job = e.job AND h.digest = ${said('$.head')}
     WHERE e.kind = 'record issued' AND json_valid(e.body) AND h.seq IS NULL`,
  );
  for (const row of astray.iterate() as Iterable<Row & { revision: number }>)
    yield {
      table: 'entries',
      row: entryName(row),
      what: `names an end of the logbook for revision ${row.revision} that the logbook does not have`,
    };
}

/** The key that signs is there, closed. */
function* keys(db: Sql): Generator<Finding> {
  const newest = db.prepare(
    `SELECT subject FROM shop_entries AS e WHERE kind = 'key made'
     AND NOT EXISTS (SELECT 1 FROM secrets WHERE name = 'key:' || subject)
     AND seq = (SELECT max(seq) FROM shop_entries WHERE kind = 'key made')`,
  );
  for (const { subject } of newest.iterate() as Iterable<{ subject: string }>)
    yield { table: 'secrets', row: `key:${subject}`, what: 'the key that signs is gone' };
}
