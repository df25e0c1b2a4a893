import type { Entry } from '../logbook/entry.js';
import { prepared, type Sql } from './database.js';

/** So many of the shop's newest entries are looked through: some days of one fitter's work. */
const lookedThrough = 1000;

/** What a person wrote last of one kind, in whatever job, newest first, among the shop's newest entries. */
export function lastWritten<K extends 'reading taken' | 'step done'>(
  db: Sql,
  person: string,
  kind: K,
): Extract<Entry, { kind: K }>['body'][] {
  const rows = prepared(
    db,
    `SELECT e.body FROM (SELECT n, chain, seq FROM heads ORDER BY n DESC LIMIT ?) AS newest
     JOIN entries AS e ON e.job = newest.chain AND e.seq = newest.seq
     WHERE e.by_id = ? AND e.kind = ? ORDER BY newest.n DESC LIMIT 40`,
  ).all(lookedThrough, person, kind) as { body: string }[];
  return rows.map(({ body }) => JSON.parse(body));
}

/** The job, other than this one, whose circuit was set last among the shop's newest entries. */
export function lastCircuitIn(db: Sql, besides: string): string | undefined {
  const last = prepared(
    db,
    `SELECT e.job FROM (SELECT n, chain, seq FROM heads ORDER BY n DESC LIMIT ?) AS newest
     JOIN entries AS e ON e.job = newest.chain AND e.seq = newest.seq
     WHERE e.kind = 'circuit set' AND e.job <> ? ORDER BY newest.n DESC LIMIT 1`,
  ).get(lookedThrough, besides) as { job: string } | undefined;
  return last?.job;
}
