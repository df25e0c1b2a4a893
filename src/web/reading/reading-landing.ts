import {
  type Assessment,
  hasOpenDefect,
  isBarred,
  isDue,
  type ReadingStanding,
  readingsOf,
} from '../../steps/assessment.js';
import { jobNext } from '../../steps/job-next.js';
import { shownText } from '../../steps/shown-text.js';
import type { WorkAt } from '../job/job-at.js';
import { nextStepPath } from '../job/next-step-path.js';
import type { Landing } from '../step/step-landing.js';
import { jobPath } from '../words/job-words.js';

/**
 * After a reading that asks for nothing more: on to the next of its step, else to the step, else to what is next. One that
 * failed, stays unproven or has something to say leads to its own page, which says it. `before` is the job as it stood.
 */
export function afterReading(
  at: WorkAt,
  { planned, taken, verdict, remarks }: ReadingStanding,
  before: Assessment,
): Landing {
  const { number, job } = at;
  const own = `${jobPath(number, 'readings', planned.id)}#verdict`;
  const open = hasOpenDefect(job, `reading:${planned.id}`);
  const plain = (verdict === 'pass' || verdict === 'noted') && remarks.length === 0 && !open;
  // Of a drop under load the page says what it speaks of beyond its limit.
  if (taken === undefined || !plain || planned.test === 'loaded-voltage') return { path: own };
  const closes = before.defects.some(
    (d) =>
      d.status !== 'closed' &&
      job.defects.some((n) => n.defect.seq === d.defect.seq && n.status === 'closed'),
  );
  return {
    path: onwards(at, planned.step),
    said: `${planned.code} ${planned.title}: ${shownText(taken.body.shown)}, ${verdict}.${closes ? ' Its defect is closed.' : ''}`,
    link: { href: own, label: `See ${planned.code} or put it right` },
  };
}

function onwards({ number, log, job }: WorkAt, stepId: string): string {
  const step = job.steps.get(stepId);
  // It was taken ahead of its step, to find the wire: the defect is what comes next, and says where the wire is by now.
  if (step !== undefined && isBarred(step)) return jobPath(number, ...(jobNext(log, job)?.path ?? []));
  const due = step && readingsOf(step.step, job).find(isDue);
  if (due !== undefined) return jobPath(number, 'readings', due.planned.id);
  if (step !== undefined && step.status !== 'done') return jobPath(number, 'steps', stepId);
  return nextStepPath(number, job);
}
