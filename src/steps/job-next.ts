import type { JobLog } from '../logbook/job-log.js';
import { standingRecord } from '../logbook/standing-record.js';
import type { Assessment } from './assessment.js';
import { kindRules } from './entry-kinds.js';
import { issueStepId } from './step.js';
import { seenBelow } from './subject-words.js';

/** The one thing to do next on a job: a title, one sentence, and the page of the job where it is done. */
interface JobNext {
  readonly title: string;
  readonly sentence: string;
  readonly label: string;
  /** The parts of the page's address behind the job's own. */
  readonly path: readonly (string | number)[];
}

/** What a hurried person must see at once. A defect comes before the next step: nothing behind it counts until it is mended. */
export function jobNext(log: JobLog, job: Assessment | undefined): JobNext | undefined {
  if (log.standing !== 'open') return undefined;
  if (job === undefined)
    return {
      title: 'Describe the circuit',
      sentence: 'The sheet, the steps and every expected reading follow from it.',
      label: 'Describe the circuit',
      path: ['circuit'],
    };
  const open = job.defects.find((d) => d.status === 'open');
  if (open !== undefined)
    return {
      title: `Mend the defect: ${open.title}`,
      sentence: seenBelow(open.title, open.defect.body.what),
      label: 'Open the defect',
      path: ['defects', open.defect.seq],
    };
  // What bars the record is said by itself, and above all who still has to look.
  if (job.next !== undefined && job.next.step.id !== issueStepId) return nextStep(job.next);
  const stands = revisionThatStands(log);
  if (job.barsIssue.length === 0 && stands !== undefined) return afterIssue(log, stands);
  if (job.barsIssue.length === 0)
    return {
      title: log.issued.length === 0 ? 'Issue the record' : `Issue revision ${log.issued.length + 1}`,
      sentence: 'Nothing bars it: read it through and sign it.',
      label: 'Go to the record',
      path: ['record'],
    };
  const [bar, more] = job.barsIssue;
  const looking = bar?.about.of === 'second-look' && more === undefined;
  return {
    title: looking ? 'The second look' : 'See what bars the record',
    sentence: bar?.text ?? '',
    label: looking ? 'Go to the second look' : 'See what is left',
    path: [looking ? 'second-look' : 'record'],
  };
}

/** The revision in force, where nothing was written on the work after it, nor a later one issued that was withdrawn since. */
export function revisionThatStands(log: JobLog): number | undefined {
  const issued = standingRecord(log);
  if (issued === undefined) return undefined;
  const later = log.entries.some((e) => e.seq > issued.seq && kindRules[e.kind].changes !== 'nothing');
  return later ? undefined : issued.body.revision;
}

function afterIssue(log: JobLog, revision: number): JobNext {
  const acknowledged = log.acknowledged.some((e) => e.body.revision === revision);
  return {
    title: acknowledged ? `Revision ${revision} is handed over` : `Hand over revision ${revision}`,
    sentence: acknowledged
      ? 'The owner has acknowledged it. What is changed from here asks for a further revision.'
      : 'The record is issued. Give the owner the PDF, and a link to acknowledge it.',
    label: 'Go to the record',
    path: ['record'],
  };
}

function nextStep({ step, reopened }: NonNullable<Assessment['next']>): JobNext {
  const ownPage = step.sheetLines === undefined || step.asks.length > 0;
  return {
    title: `${step.number} ${step.title}`,
    sentence: reopened[0] ?? step.do[0] ?? step.why,
    label: ownPage ? 'Open this step' : 'Open the sheet',
    path: ownPage ? ['steps', step.id] : ['sheet'],
  };
}
