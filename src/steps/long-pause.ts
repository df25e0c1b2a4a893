import { readingLimits } from '../trade/reading-limits.js';
import type { Assessment } from './assessment.js';
import type { StageId, Step } from './step.js';

/** What was proven or made ready before a pause so long that it is made again before a hand goes in. */
export interface BeforePause {
  readonly step: Step;
  /** When that step was written down, and when anything of its stage was last. */
  readonly at: string;
  readonly last: string;
}

/** The step whose proof a stage leans on: it speaks of the moment at which it was written. */
const proofOf: Partial<Record<StageId, string>> = { dead: 'absence-of-voltage', live: 'ready-for-live' };

/** What a stage leans on, where nothing of that stage was written for longer than `readingLimits.proofPause` by `now` (an ISO time). */
export function beforePause(job: Assessment, stage: StageId, now: string): BeforePause | undefined {
  const proof = job.steps.get(proofOf[stage] ?? '');
  if (proof?.status !== 'done' || proof.done === undefined) return undefined;
  const steps = job.stages.find(({ id }) => id === stage)?.steps ?? [];
  const readings = [...job.readings.values()].filter(({ planned }) => planned.stage === stage);
  const last = [
    proof.done.at,
    ...steps.flatMap(({ done }) => done?.at ?? []),
    ...readings.flatMap(({ taken }) => taken?.at ?? []),
  ]
    .sort()
    .at(-1)!;
  const hours = (Date.parse(now) - Date.parse(last)) / 3_600_000;
  return hours > readingLimits.proofPause.value ? { step: proof.step, at: proof.done.at, last } : undefined;
}
