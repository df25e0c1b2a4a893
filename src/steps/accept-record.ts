import type { Issue, Result } from '../errors.js';
import type { NewEntry } from '../logbook/entry.js';
import { standingRecord } from '../logbook/standing-record.js';
import type { Bar } from './assessment.js';
import { workBars } from './issue-bars.js';
import { judgesOwnWork, refuse, type WithJob } from './proposal.js';

type SecondLook = Extract<NewEntry, { kind: 'second look signed' }>;
type Issued = Extract<NewEntry, { kind: 'record issued' }>;
type Withdrawn = Extract<NewEntry, { kind: 'record withdrawn' }>;
type Acknowledged = Extract<NewEntry, { kind: 'owner acknowledged' }>;

const asIssue = ({ text }: Bar): Issue => ({ field: 'job', message: text });

/** The second look comes when the work itself bars nothing any more, and from another person than the fitter where there is one. */
export function acceptSecondLook(proposal: WithJob<SecondLook>): Result<NewEntry[]> {
  const { job, entry, log, sealed } = proposal;
  if (judgesOwnWork(log, entry.kind, proposal))
    return refuse('person', 'The second look is another person’s.');
  const bars = sealed ? [] : workBars(job);
  if (bars.length > 0) return { ok: false, issues: bars.map(asIssue) };
  return { ok: true, value: [entry] };
}

/** A record is issued when nothing bars it, with the next revision number. */
export function acceptIssue({ job, entry, log, sealed }: WithJob<Issued>): Result<NewEntry[]> {
  if (!sealed && job.barsIssue.length > 0) return { ok: false, issues: job.barsIssue.map(asIssue) };
  const head = log.entries.at(-1)?.digest;
  if (entry.body.head !== head)
    return refuse('head', 'An entry was made while the record was drawn: issue it again.');
  const revision = log.issued.length + 1;
  return entry.body.revision === revision
    ? { ok: true, value: [entry] }
    : refuse('revision', `The next revision is ${revision}.`);
}

export function acceptWithdrawal({ entry, log }: WithJob<Withdrawn>): Result<NewEntry[]> {
  if (!log.issued.some((e) => e.body.revision === entry.body.revision))
    return refuse('revision', 'No such revision was issued.');
  if (log.withdrawn.has(entry.body.revision))
    return refuse('revision', 'This revision is withdrawn already.');
  return { ok: true, value: [entry] };
}

/** The owner acknowledges the revision that stands: an older or withdrawn one is not what they were handed. */
export function acceptAcknowledgement({ entry, log }: WithJob<Acknowledged>): Result<NewEntry[]> {
  if (standingRecord(log)?.body.revision !== entry.body.revision)
    return refuse('revision', 'This revision no longer stands: ask for the newest.');
  if (log.acknowledged.some((e) => e.body.revision === entry.body.revision))
    return refuse('revision', 'This revision is acknowledged already.');
  return { ok: true, value: [entry] };
}
