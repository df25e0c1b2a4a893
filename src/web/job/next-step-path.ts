import type { Assessment } from '../../steps/assessment.js';
import { issueStepId } from '../../steps/step.js';
import { jobPath } from '../words/job-words.js';

/** The page of the next step; the job's own page where no step is next, or where the record is. */
export function nextStepPath(number: string, job: Assessment): string {
  const next = job.next?.step;
  if (next === undefined || next.id === issueStepId) return jobPath(number);
  return jobPath(number, 'steps', next.id);
}
