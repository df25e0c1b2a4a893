import { type Assessment, isDue, readingsOf } from '../../steps/assessment.js';
import { minutesSource } from '../../steps/content/minutes.js';
import { jobNext } from '../../steps/job-next.js';
import { aboutHowLong, type WorkLeft, workLeft } from '../../steps/work-left.js';
import { jobPath } from '../words/job-words.js';
import type { JobAt } from './job-at.js';

/** The one next thing as the pages of a job show it. A step whose readings were begun leads on to the reading that is due. */
export function nextModel({ number, log, job }: JobAt) {
  const next = jobNext(log, job);
  if (next === undefined) return undefined;
  const href = jobPath(number, ...next.path);
  const here = job?.next;
  if (job === undefined || here === undefined || next.path[1] !== here.step.id) return { ...next, href };
  const begun = here.reopened.length === 0 ? begunReading(job) : undefined;
  return {
    ...next,
    href,
    ...(here.step.hold === undefined ? {} : { holds: here.step.hold }),
    ...(begun && {
      sentence: `${begun.planned.code} ${begun.planned.title}. Expected: ${begun.planned.expected.text}.`,
      label: `Take ${begun.planned.code}`,
      href: jobPath(number, 'readings', begun.planned.id),
    }),
  };
}

/** The reading that is due of the next step, where others of that step were taken already. */
function begunReading(job: Assessment) {
  const own = job.next === undefined ? [] : readingsOf(job.next.step, job);
  return own.some((r) => r.taken !== undefined) ? own.find(isDue) : undefined;
}

/** What is left, in counts and in a guess of the time, or undefined where nothing is. */
export function leftModel(job: Assessment) {
  const { stage, all } = workLeft(job);
  if (all.steps === 0) return undefined;
  return {
    parts: [
      ...(stage.steps > 0 && stage.steps < all.steps ? [{ term: stage.title, value: leftText(stage) }] : []),
      { term: 'In all', value: leftText(all) },
    ],
    source: `Times: ${minutesSource.publication.toLowerCase()}, ${minutesSource.note}; waiting left out.`,
  };
}

function leftText({ steps, of, readings, minutes }: WorkLeft): string {
  const taken = readings === 0 ? '' : ` and ${readings} ${readings === 1 ? 'reading' : 'readings'}`;
  return `${steps} of ${of} ${of === 1 ? 'step' : 'steps'}${taken} left, ${aboutHowLong(minutes)}`;
}
