import type { JobLog } from '../logbook/job-log.js';
import { readingMet } from './assess-readings.js';
import type { Assessment, Bar } from './assessment.js';
import { changesTheWork } from './entry-kinds.js';
import { issueStepId } from './step.js';

type Job = Omit<Assessment, 'barsIssue'>;

/** What bars the issue of the record; empty when it may be issued. */
export function issueBars(job: Job): Bar[] {
  return [...workBars(job), ...secondLookBars(job)];
}

/** The bars that the work itself raises; a second look may be signed when there are none. */
export function workBars(job: Job): Bar[] {
  const lines = job.sheet
    .filter((s) => !s.met)
    .map((s): Bar => ({ text: `Sheet: ${s.line.title} does not meet its limit.`, about: { of: 'sheet' } }));
  const steps = [...job.steps.values()]
    .filter((s) => s.status !== 'done' && s.step.conditional === undefined && !isAtIssue(s.step.id, job))
    .map(
      ({ step }): Bar => ({
        text: `${step.number} ${step.title} is not done.`,
        about: { of: 'step', id: step.id },
      }),
    );
  const readings = [...job.readings.values()]
    .filter((r) => (r.planned.required ? !readingMet(r) : r.verdict === 'fail'))
    .map(
      ({ planned, verdict }): Bar => ({
        text: `${planned.code} ${planned.title} is ${verdict}.`,
        about: { of: 'reading', id: planned.id },
      }),
    );
  const defects = job.defects
    .filter((d) => d.status !== 'closed')
    .map(
      ({ defect: { seq }, title, status }): Bar => ({
        text: `Defect of entry ${seq} (${title}) is ${status}.`,
        about: { of: 'defect', seq },
      }),
    );
  const { standing } = job.log;
  const apart: Bar[] = standing === 'open' ? [] : [{ text: `The job is ${standing}.`, about: { of: 'job' } }];
  return [...apart, ...defects, ...lines, ...steps, ...readings];
}

/** The step of the issue itself, and what waits for nothing but it, cannot be done before it. */
function isAtIssue(id: string, job: Job): boolean {
  return id === issueStepId || job.steps.get(id)?.step.waitsFor.includes(issueStepId) === true;
}

/** Whether the job names nobody but its fitter: then no second look is asked for, and the record says so. */
export function worksAlone({ described }: Pick<JobLog, 'described'>): boolean {
  return described === undefined || described.checker === '' || described.checker === described.fitter;
}

function secondLookBars({ log }: Job): Bar[] {
  const { described } = log;
  if (described === undefined || worksAlone(log)) return [];
  const bar = (text: string): Bar[] => [{ text, about: { of: 'second-look' } }];
  const look = log.secondLooks.at(-1);
  if (look === undefined) return bar(`${described.checker} has not signed the second look.`);
  // An entry's number is its place: what is before the look need not be gone through.
  const later = log.entries.slice(look.seq).find((e) => changesTheWork(e.kind));
  return later === undefined
    ? []
    : bar(`${described.checker} signed the second look before entry ${later.seq}: it must be given again.`);
}
