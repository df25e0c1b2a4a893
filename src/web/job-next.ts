import { standingRecord } from '../logbook/standing-record.js';
import type { JobAt } from './job-at.js';
import { jobPath } from './job-words.js';

/** The one thing to do next on a job: a title, one sentence, and the page where it is done. */
export interface JobNext {
  readonly title: string;
  readonly sentence: string;
  readonly label: string;
  readonly href: string;
}

/** What a hurried person must see at once. A defect comes before the next step: nothing behind it counts until it is mended. */
export function jobNext({ number, log, job }: JobAt): JobNext | undefined {
  if (log.standing !== 'open') return undefined;
  if (job === undefined)
    return {
      title: 'Describe the circuit',
      sentence: 'The sheet, the steps and every expected reading follow from it.',
      label: 'Describe the circuit',
      href: jobPath(number, 'circuit'),
    };
  const open = job.defects.find((d) => d.status === 'open');
  if (open !== undefined)
    return {
      title: `Mend the defect: ${open.title}`,
      sentence: open.defect.body.what,
      label: 'Open the defect',
      href: jobPath(number, 'defects', open.defect.seq),
    };
  if (job.next !== undefined) return nextStep(number, job.next, job);
  const stands = revisionThatStands(log);
  if (job.barsIssue.length === 0 && stands !== undefined) return afterIssue(number, log, stands);
  if (job.barsIssue.length === 0)
    return {
      title: log.issued.length === 0 ? 'Issue the record' : `Issue revision ${log.issued.length + 1}`,
      sentence: 'Nothing bars it: read it through and sign it.',
      label: 'Go to the record',
      href: jobPath(number, 'record'),
    };
  const looking = job.barsIssue.length === 1 && job.barsIssue[0]?.includes('second look') === true;
  return {
    title: looking ? 'The second look' : 'See what bars the record',
    sentence: job.barsIssue[0] ?? '',
    label: looking ? 'Go to the second look' : 'See what is left',
    href: jobPath(number, looking ? 'second-look' : 'record'),
  };
}

/** The revision in force, where nothing was written on the work after it. */
function revisionThatStands(log: JobAt['log']): number | undefined {
  const issued = standingRecord(log);
  const later = log.entries.some((e) => e.seq > (issued?.seq ?? 0) && !leavesTheWork.has(e.kind));
  return later ? undefined : issued?.body.revision;
}

/** Entries that change nothing of what a record says of the work. */
const leavesTheWork: ReadonlySet<string> = new Set([
  'record issued',
  'record withdrawn',
  'owner acknowledged',
  'second look signed',
  'job set aside',
  'job closed',
  'job taken up',
]);

function afterIssue(number: string, log: JobAt['log'], revision: number): JobNext {
  const acknowledged = log.acknowledged.some((e) => e.body.revision === revision);
  return {
    title: acknowledged ? `Revision ${revision} is handed over` : `Hand over revision ${revision}`,
    sentence: acknowledged
      ? 'The owner has acknowledged it. What is changed from here asks for a further revision.'
      : 'The record is issued. Give the owner the PDF, and a link to acknowledge it.',
    label: 'Go to the record',
    href: jobPath(number, 'record'),
  };
}

function nextStep(
  number: string,
  next: NonNullable<NonNullable<JobAt['job']>['next']>,
  job: NonNullable<JobAt['job']>,
): JobNext {
  const { step, reopened } = next;
  if (step.id === 'issue-record')
    return {
      title: `${step.number} ${step.title}`,
      sentence: job.barsIssue[0] ?? 'Nothing bars it: read it through and sign it.',
      label: 'Go to the record',
      href: jobPath(number, 'record'),
    };
  const href =
    step.sheetLines === undefined || step.asks.length > 0
      ? jobPath(number, 'steps', step.id)
      : jobPath(number, 'sheet');
  return {
    title: `${step.number} ${step.title}`,
    sentence: reopened[0] ?? step.do[0] ?? step.why,
    label: href.endsWith('/sheet') ? 'Open the sheet' : 'Open this step',
    href,
  };
}
