import { linkFault } from '../../logbook/chain.js';
import type { Sql } from '../database.js';
import { chainName, type HeadRow, headOver, shopChain } from '../heads.js';
import { type Row, sealed } from '../sealed-entries.js';
import type { Finding, Part } from './finding.js';

/** Every logbook entry by entry, the heads over them all, and the jobs and forms that speak of them. */
export const chainFindings: readonly Part[] = [
  { of: 'heads', look: headChain },
  { of: 'entries', look: (db) => chain(db, 'entries', 'SELECT * FROM entries ORDER BY job, seq') },
  { of: 'shop_entries', look: (db) => chain(db, 'shop_entries', 'SELECT * FROM shop_entries ORDER BY seq') },
  { of: 'heads', look: headsAndEntries },
  { of: 'jobs', look: openings },
  { of: 'form_keys', look: forms },
];

/** An entry as a person finds it. */
export function entryName({ job, seq }: Pick<Row, 'seq'> & { readonly job?: unknown }): string {
  return `entry ${seq} of ${chainName(job === undefined ? shopChain : String(job))}`;
}

function* headChain(db: Sql): Generator<Finding> {
  let before: HeadRow | undefined;
  for (const row of db.prepare('SELECT * FROM heads ORDER BY n').iterate() as Iterable<HeadRow>) {
    if (row.n !== (before?.n ?? 0) + 1 || row.head !== headOver(before?.head, row.digest))
      yield { table: 'heads', row: String(row.n), what: 'does not follow from the one before it' };
    before = row;
  }
}

function* chain(db: Sql, table: string, select: string): Generator<Finding> {
  let last: Row | undefined;
  for (const row of db.prepare(select).iterate() as Iterable<Row>) {
    const what = linkFault(sealed(row), last?.job === row.job ? last : undefined);
    if (what !== undefined) yield { table, row: entryName(row), what };
    last = row;
  }
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

/** The shop's logbook tells of every job that was opened, and each begins with an entry. */
function* openings(db: Sql): Generator<Finding> {
  const opened = "SELECT DISTINCT subject FROM shop_entries WHERE kind = 'job opened'";
  const asked = [
    [
      `SELECT number FROM jobs WHERE number NOT IN (${opened})`,
      'was opened without a word of it in the shop’s logbook',
    ],
    [
      `SELECT subject AS number FROM (${opened}) WHERE subject NOT IN (SELECT number FROM jobs)`,
      'was opened, as the shop’s logbook tells, and is gone',
    ],
    [
      'SELECT number FROM jobs WHERE NOT EXISTS (SELECT 1 FROM entries WHERE job = number)',
      'has no entry at all',
    ],
  ] as const;
  for (const [select, what] of asked)
    for (const { number } of db.prepare(select).iterate() as Iterable<{ number: string }>)
      yield { table: 'jobs', row: number, what };
}

/** What a form is said to have written is there. */
function* forms(db: Sql): Generator<Finding> {
  const astray = db.prepare(
    `SELECT f.person, f.form_key, f.job, f.last_seq FROM form_keys AS f
     LEFT JOIN entries AS e ON e.job = f.job AND e.seq = f.last_seq
     LEFT JOIN shop_entries AS s ON f.job = '${shopChain}' AND s.seq = f.last_seq
     WHERE (e.seq IS NULL AND s.seq IS NULL) OR f.first_seq NOT BETWEEN 1 AND f.last_seq`,
  );
  for (const row of astray.iterate() as Iterable<Record<string, string>>)
    yield {
      table: 'form_keys',
      row: `${row.form_key} of ${row.person}`,
      what: `answers with entry ${row.last_seq} of ${chainName(row.job as string)}, which is not there`,
    };
}
