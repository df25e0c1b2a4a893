import type { EntryOf } from '../logbook/entry.js';
import type { JobLog } from '../logbook/job-log.js';
import { standingRecord } from '../logbook/standing-record.js';
import { assess } from './assess.js';
import { jobNext, revisionThatStands } from './job-next.js';
import { stages } from './step.js';

/** A job as one line of the list, said by the same functions as the job's own page. */
export interface JobLine {
  readonly vehicle: string;
  readonly plate: string;
  readonly vin: string;
  readonly owner: string;
  readonly place: string;
  readonly standing: JobLog['standing'];
  /** Why it was set aside or closed; '' while it is open. */
  readonly reason: string;
  /** The stage in words. */
  readonly stage: string;
  readonly openDefects: number;
  /** Open, and no step can be done: a defect is open, or nothing but a second look or a mend goes on. */
  readonly held: boolean;
  /** The record in force; 0 where none is. */
  readonly revision: number;
  /** A record is in force, and something was written on the work after it: the paper no longer says all. */
  readonly inQuestion: boolean;
  readonly next: { readonly title: string; readonly path: readonly (string | number)[] } | undefined;
}

/** The line of a job, from its logbook alone. */
export function jobLine(log: JobLog): JobLine {
  const job = assess(log);
  const next = jobNext(log, job);
  const openDefects = job?.defects.filter((d) => d.status === 'open').length ?? 0;
  const record = standingRecord(log);
  const stuck =
    job !== undefined && (openDefects > 0 || (job.next === undefined && job.barsIssue.length > 0));
  return {
    vehicle: log.described?.vehicle.description ?? '',
    plate: log.described?.vehicle.plate ?? '',
    vin: log.described?.vehicle.vin ?? '',
    owner: log.described?.owner ?? '',
    place: log.described?.place ?? '',
    standing: log.standing,
    reason: reasonOf(log),
    stage: job === undefined ? 'No circuit yet' : stages[job.stage],
    openDefects,
    held: log.standing === 'open' && stuck,
    revision: record?.body.revision ?? 0,
    inQuestion: record !== undefined && revisionThatStands(log) === undefined,
    next: next && { title: next.title, path: next.path },
  };
}

function reasonOf(log: JobLog): string {
  if (log.standing === 'open') return '';
  const last = log.entries.findLast(
    (e): e is EntryOf<'job set aside'> | EntryOf<'job closed'> =>
      e.kind === 'job set aside' || e.kind === 'job closed',
  );
  return last?.body.reason ?? '';
}
