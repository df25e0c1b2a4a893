import type { JobLog } from '../logbook/job-log.js';
import { packageVersion } from '../package-root.js';
import { type JobLine, jobLine } from '../steps/job-line.js';
import { rulesVersion } from '../trade/rules-version.js';
import { prepared, type Sql } from './database.js';
import { foundRows, type JobSearch, type LineRow, listVersion, searchWords } from './job-search.js';
import type { Guard } from './write-guard.js';

export interface ListedJob {
  readonly number: string;
  /** When its newest entry was written. */
  readonly at: string;
  readonly line: JobLine;
}

/** One page of the list, newest activity first. */
interface JobPage {
  readonly jobs: readonly ListedJob[];
  /** Whether older ones follow. */
  readonly more: boolean;
}

/** The lines of the list of jobs, kept beside the entries that they are computed from. */
export interface JobLines {
  /** Writes a job's line anew. Call it in the transaction that writes the entries. */
  put(job: string, log: JobLog): void;
  find(search: JobSearch): JobPage;
  /** How many lines this version of the program has not computed yet: a search may miss those jobs. */
  pending(): number;
  /** Computes up to `count` of them, newest first, in one transaction; answers how many are left. */
  fill(count: number): number;
}

/** Lines say what this version of the program and its rules would say; another version computes them anew. */
const logic = `${packageVersion} ${rulesVersion} ${listVersion}`;

export function makeJobLines(db: Sql, guard: Guard, logOf: (job: string) => JobLog): JobLines {
  let left: number | undefined;
  let filledDownTo = { at: '\u{10ffff}', job: '' };

  // As two ranges of an index, which are empty where all is computed.
  const count = () =>
    (
      prepared(db, 'SELECT count(*) AS n FROM job_lines WHERE logic < @logic OR logic > @logic').get({
        logic,
      }) as { n: number }
    ).n;
  const pending = () => {
    left ??= count();
    return left;
  };

  const put = (job: string, log: JobLog): void => {
    const line = jobLine(log);
    const at = log.entries.at(-1)?.at ?? '';
    const text = JSON.stringify(line);
    const before = prepared(db, 'SELECT id, words, logic, line FROM job_lines WHERE job = ?').get(job) as
      | { id: number; words: string; logic: string; line: string }
      | undefined;
    // All else follows from the line: most entries move their job in the list, and change nothing of what it says there.
    if (before?.line === text && before.logic === logic) {
      prepared(db, 'UPDATE job_lines SET at = ? WHERE id = ?').run(at, before.id);
      return;
    }
    const row = lineRow(job, at, line);
    const { words } = row;
    const { id } = prepared(db, upsert(row)).get(row) as { id: number };
    if (before !== undefined && before.logic !== logic) left = undefined;
    if (before?.words === words) return;
    if (before !== undefined) prepared(db, 'DELETE FROM job_words WHERE rowid = ?').run(id);
    prepared(db, 'INSERT INTO job_words (rowid, words) VALUES (?, ?)').run(id, words);
  };

  const find = (search: JobSearch): JobPage => {
    const rows = foundRows(db, { ...search, limit: search.limit + 1 });
    return {
      more: rows.length > search.limit,
      jobs: rows.slice(0, search.limit).map((row) => ({
        number: row.job,
        at: row.at,
        line: row.logic === logic ? (JSON.parse(row.line) as JobLine) : jobLine(logOf(row.job)),
      })),
    };
  };

  const fill = (most: number): number => {
    const before = pending();
    if (before === 0) return 0;
    const rows = db
      .prepare(
        `SELECT job, at FROM job_lines WHERE (at, job) < (@at, @job) AND logic <> @logic
         ORDER BY at DESC, job DESC LIMIT @most`,
      )
      .all({ ...filledDownTo, logic, most }) as Pick<LineRow, 'job' | 'at'>[];
    guard.write(() => {
      for (const { job } of rows) put(job, logOf(job));
    });
    filledDownTo = rows.at(-1) ?? { at: '\u{10ffff}', job: '' };
    // Counted down, since a count at every step would take longer than the work; counted once more at the end.
    left = before - rows.length;
    if (left <= 0 || rows.length < most) left = count();
    return left;
  };

  return { put, find, pending, fill };
}

/** A job's row as it is kept, by its columns: `at` is when the newest entry was written, and all else follows from its line. */
export function lineRow(job: string, at: string, line: JobLine) {
  return {
    job,
    at,
    logic,
    words: searchWords(job, line),
    standing: line.standing,
    held: Number(line.held),
    issued: Number(line.revision > 0),
    in_question: Number(line.inQuestion),
    line: JSON.stringify(line),
  };
}

function upsert(row: ReturnType<typeof lineRow>): string {
  const columns = Object.keys(row);
  const others = columns.filter((column) => column !== 'job');
  return `
  INSERT INTO job_lines (${columns.join(', ')}) VALUES (${columns.map((c) => `@${c}`).join(', ')})
  ON CONFLICT (job) DO UPDATE SET ${others.map((c) => `${c} = @${c}`).join(', ')}
  RETURNING id`;
}
