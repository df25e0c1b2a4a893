import { readingLimits } from '../trade/reading-limits.js';
import type { Assessment } from './assessment.js';
import type { StageId, Step } from './step.js';

/** What was proven or made ready before a pause so long that it is made again before a hand goes in. */
interface BeforePause {
  readonly step: Step;
  /** When that step was written down. */
  readonly at: string;
  /** When anything of its stage was done last; undefined where the clock was set back since, so that nobody can tell. */
  readonly last: string | undefined;
}

/** A clock that is set right by the network moves by less, ms. */
const leastMs = 60_000;
/** Whether from one ISO time to another it was longer than `readingLimits.proofPause`. */
const isPause = (from: string, to: string) =>
  (Date.parse(to) - Date.parse(from)) / 3_600_000 > readingLimits.proofPause.value;

/** The step whose proof a stage leans on: it speaks of the moment at which it was written. */
const proofOf: Partial<Record<StageId, string>> = { dead: 'absence-of-voltage', live: 'ready-for-live' };

/** What is read of a supply before the van stands on it: good for that supply, and for that day. */
const ofSupply = ['supply-measured', 'cord-end-measured', 'chassis-to-earth'];

/**
 * What was read of the supply before a pause, where the place was made ready again after it: whoever plugs in by that may do so at another
 * outlet, or at one that was changed meanwhile. Empty where nothing was.
 */
export function supplyOfBefore(job: Assessment): readonly Step[] {
  const ready = doneAt(job, 'ready-for-live');
  if (ready === undefined) return [];
  return ofSupply.flatMap((id) => {
    const [step, at] = [job.steps.get(id)?.step, doneAt(job, id)];
    return step !== undefined && at !== undefined && isPause(at, ready) ? [step] : [];
  });
}

/** When a step that still stands was written down, or filled in where it waited on a phone. */
function doneAt(job: Assessment, id: string): string | undefined {
  const standing = job.steps.get(id);
  if (standing?.status !== 'done') return undefined;
  return standing.done?.filledIn ?? standing.done?.at;
}

/** What a stage leans on, where nothing of that stage was written for longer than `readingLimits.proofPause` by `now` (an ISO time). */
export function beforePause(job: Assessment, stage: StageId, now: string): BeforePause | undefined {
  const proof = job.steps.get(proofOf[stage] ?? '');
  if (proof?.status !== 'done' || proof.done === undefined) return undefined;
  const steps = job.stages.find(({ id }) => id === stage)?.steps ?? [];
  const readings = [...job.readings.values()].filter(({ planned }) => planned.stage === stage);
  const done = [
    proof.done,
    ...steps.flatMap((s) => s.done ?? []),
    ...readings.flatMap(({ taken }) => taken ?? []),
  ].sort((a, b) => a.seq - b.seq);
  const { at } = proof.done;
  const ahead = done.findLastIndex((e) => Date.parse(e.at) - Date.parse(now) > leastMs);
  // What waited on a phone was done when it was filled in, and proves no work at the hour of its arrival.
  const last = done
    .slice(ahead + 1)
    .map((e) => e.filledIn ?? e.at)
    .sort()
    .at(-1);
  if (last === undefined) return { step: proof.step, at, last };
  return isPause(last, now) ? { step: proof.step, at, last } : undefined;
}
