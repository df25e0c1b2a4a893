import { type Answer, diagnose } from '../faults/diagnose.js';
import type { EntryBody } from '../logbook/entry.js';
import type { Assessment } from './assessment.js';
import { readingsFileOf } from './readings-file-of.js';
import type { PlannedReading } from './step.js';

type Suspect = EntryBody<'defect raised'>['suspects'][number];

/** What the job's readings, with the one just taken, point to; the most likely first, at most twelve. */
export function suspectsAfter(
  job: Assessment,
  planned: PlannedReading,
  body: EntryBody<'reading taken'>,
): Suspect[] {
  return suspectsIn(diagnose(readingsFileOf(job, { planned, body })));
}

/** The fault-finder's answer to all standing readings of a job. */
export function jobAnswer(job: Assessment): Answer {
  return diagnose(readingsFileOf(job));
}

/** The suspects of an answer as the logbook keeps them. */
export function suspectsIn(answer: Answer): Suspect[] {
  return answer.suspects.slice(0, 12).map((s) => ({
    text: s.text.slice(0, 300),
    lookAt: (s.lookAt ?? '').slice(0, 500),
    probability: s.probability,
    faults: s.faults.map((fault) => ({ ...fault })),
  }));
}

/** The planned reading that the fault-finder would take next, where this circuit's schedule has it. */
export function nextPlannedReading(job: Assessment, answer: Answer): PlannedReading | undefined {
  const next = answer.nextReading;
  if (next === null || next === undefined) return undefined;
  const same = (r: PlannedReading) => {
    if (next.test === 'observation')
      return (
        r.test === 'observation' &&
        r.what === next.what &&
        (!('at' in next) || r.from?.split('.')[0] === next.at)
      );
    const ends = [r.from, r.to].sort().join();
    return r.test === next.test && ends === [next.from, next.to].sort().join();
  };
  return [...job.readings.values()].map((r) => r.planned).find(same);
}
