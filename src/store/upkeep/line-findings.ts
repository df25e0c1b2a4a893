import { foldJob } from '../../logbook/job-log.js';
import { jobLine } from '../../steps/job-line.js';
import type { Sql } from '../database.js';
import { lineRow } from '../job-lines.js';
import { ownMigrations } from '../migrate.js';
import { readEntries } from '../sealed-entries.js';
import type { Finding } from './finding.js';

/**
 * Holds every row of the list of jobs against what the job's logbook gives: a list that says otherwise misleads, though the logbook is
 * whole. To be asked once the logbooks themselves agree. Rows of another version are left out, since they are computed anew before they
 * are shown, and so is a database of another layout. One moment of a store that others write; one job in memory at a time.
 */
export function* lineFindings(db: Sql): Generator<Finding> {
  if (db.pragma('user_version', { simple: true }) !== ownMigrations().length) return;
  db.exec('BEGIN');
  try {
    const rows = db.prepare('SELECT * FROM job_lines WHERE job = ?');
    for (const job of db.prepare('SELECT number FROM jobs ORDER BY number').pluck().all() as string[]) {
      const what = faultOf(rows.get(job) as Readonly<Record<string, unknown>> | undefined, db, job);
      if (what !== undefined) yield { table: 'job_lines', row: job, what };
    }
  } finally {
    db.exec('ROLLBACK');
  }
}

function faultOf(
  row: Readonly<Record<string, unknown>> | undefined,
  db: Sql,
  job: string,
): string | undefined {
  if (row === undefined) return 'is not there: the list does not show this job';
  const entries = readEntries(db, job);
  const wanted = lineRow(job, entries.at(-1)?.at ?? '', jobLine(foldJob(entries)));
  if (row.logic !== wanted.logic) return undefined;
  const off = Object.entries(wanted).flatMap(([column, value]) => (row[column] === value ? [] : [column]));
  return off.length === 0 ? undefined : `says otherwise than the job’s logbook: ${off.join(', ')}`;
}
