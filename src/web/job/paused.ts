import { listText } from '../../circuit/quantity-text.js';
import type { StepStanding } from '../../steps/assessment.js';
import { beforePause, supplyOfBefore } from '../../steps/long-pause.js';
import type { Step } from '../../steps/step.js';
import { jobPath, whenText } from '../words/job-words.js';
import type { JobAt } from './job-at.js';

/** Said over a step and its readings that go on after a long pause: what was proven then is proven again first. */
export function pausedNotice({ number, job, zone }: JobAt, standing: StepStanding | undefined, now: Date) {
  if (job === undefined || standing === undefined || standing.status !== 'ready') return undefined;
  const { stage } = standing.step;
  const before = beforePause(job, stage, now.toISOString());
  if (before === undefined) return stage === 'live' ? supplyNotice(number, supplyOfBefore(job)) : undefined;
  const { step, at, last } = before;
  const why =
    stage === 'live'
      ? 'Weather, ground and helper are those of that hour. Do it again before anything is plugged in.'
      : 'Nobody knows what was plugged in or switched on since. Do it again before a hand or a probe goes in.';
  const since =
    last === undefined
      ? 'and the clock was set back since, so that nobody can tell how long ago that is'
      : `then nothing of this stage after ${whenText(last, zone)}`;
  return {
    text: `${step.number} ${step.title} was done on ${whenText(at, zone)}, ${since}. ${why}`,
    href: jobPath(number, 'steps', step.id),
    label: `To ${step.number}, to open it again`,
  };
}

/** Said where the place was made ready again and the supply was not read again. */
function supplyNotice(number: string, stale: readonly Step[]) {
  const [first] = stale;
  if (first === undefined) return undefined;
  const said = listText(stale.map((s) => `${s.number} ${s.title}`));
  return {
    text: `${said}: done before the place was made ready this time. Another supply, or the same one changed meanwhile, is measured anew: open ${stale.length === 1 ? 'it' : 'each'} again and take its readings again before the cord goes in.`,
    href: jobPath(number, 'steps', first.id),
    label: `To ${first.number}`,
  };
}
