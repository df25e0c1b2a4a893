import { type Answer, diagnose, leadingOf } from '../faults/diagnose.js';
import { overVolts } from '../faults/first-of-all.js';
import { nextReading } from '../faults/next-reading.js';
import { predictionText } from '../faults/step-readings.js';
import { Taken } from '../faults/taken.js';
import type { EntryBody } from '../logbook/entry.js';
import { placeOf } from '../meter/point.js';
import { predictOne } from '../meter/predict.js';
import type { ReadingsFile, Test } from '../meter/readings-file.js';
import { type Assessment, isBarred, type ReadingStanding } from './assessment.js';
import { readingsFileOf, readingsLeftOut } from './readings-file-of.js';
import type { PlannedReading } from './step.js';

type Suspect = EntryBody<'defect raised'>['suspects'][number];

/** So many suspects are kept with a defect, and looked at for a next reading. */
const mostSuspects = 12;

/** What the job's readings, with the one just taken, point to; the most likely first. */
export function suspectsAfter(
  job: Assessment,
  planned: PlannedReading,
  body: EntryBody<'reading taken'>,
): Suspect[] {
  return suspectsIn(answerTo(readingsFileOf(job, { planned, body })));
}

/** The fault-finder's answer to all standing readings of a job. */
export function jobAnswer(job: Assessment): Answer {
  return answerTo(readingsFileOf(job));
}

/** No wire of the van makes more volts than any supply has: none is named, and nothing is probed on. What to ask first says so. */
function answerTo(file: ReadingsFile): Answer {
  const answer = diagnose(file);
  return overVolts(file) ? { ...answer, suspects: [], nextReading: null } : answer;
}

/** The suspects of an answer as the logbook keeps them. */
export function suspectsIn(answer: Answer): Suspect[] {
  return answer.suspects.slice(0, mostSuspects).map((s) => ({
    text: s.text.slice(0, 300),
    lookAt: s.lookAt.slice(0, 500),
    probability: s.probability,
    faults: s.faults.map((fault) => ({ ...fault })),
  }));
}

/** The reading that the fault-finder would take next: one of the job's own, or one in words with what it would show. */
interface NextInJob {
  readonly test: Test;
  /** The planned reading that is this test, where this circuit's schedule has it. */
  readonly planned: PlannedReading | undefined;
  /** What it would show, each value with the leading suspects that would show it. */
  readonly wouldShow: readonly { readonly value: string; readonly suspects: readonly string[] }[];
}

/** The next reading of an answer to a job's readings; undefined where none parts what is left. */
export function nextInJob(job: Assessment, answer: Answer): NextInJob | undefined {
  const test = readingFor(job, answer);
  if (test === null) return undefined;
  return { test, planned: plannedFor(job, test), wouldShow: wouldShow(job, answer, test) };
}

/** The answer's next reading; where the job is not so far, the one that parts the suspects best of those that may be taken. */
function readingFor(job: Assessment, answer: Answer): Test | null {
  const { nextReading: asked, suspects } = answer;
  const aside = readingsLeftOut(job);
  const isAside = (test: Test) => aside.some((r) => isTest(r.planned, test));
  // What was taken and left aside would be left aside again.
  const file = readingsFileOf(job);
  const isAhead = (test: Test) => {
    const step = job.steps.get(plannedFor(job, test)?.step ?? '');
    return step?.step.provesOwnWork !== undefined && isBarred(step);
  };
  // What has more than any supply should is not probed on.
  const over = overVolts(file);
  const may = (test: Test) =>
    !isAside(test) &&
    !isAhead(test) &&
    (test.test === 'resistance' || (!over && mayBeLive(job, test) && mayLoad(answer, test)));
  if (asked === null || may(asked)) return asked;
  const { circuit, meter, readings } = file;
  return nextReading(circuit, new Taken(readings, meter), suspects, may);
}

/** What is live that a hand is on: the first thing to do is to unplug, and nobody probes on. */
const handsOff: ReadonlySet<PlannedReading['rule']> = new Set([
  'chassis-to-earth',
  'absence-of-voltage',
  'other-source',
]);

/** Whether this reading says that what people touch is live. */
export function saysHandsOff({ planned, verdict }: Pick<ReadingStanding, 'planned' | 'verdict'>): boolean {
  return verdict === 'fail' && handsOff.has(planned.rule);
}

/**
 * Nothing that people touch is live, and the work has reached the step where such a reading stands: no load where a ground or
 * a pole may be wrong, and nothing in the van while its supply, its cord or its skin is not right.
 */
function mayBeLive(job: Assessment, test: Test): boolean {
  if ([...job.readings.values()].some(saysHandsOff)) return false;
  const steps = job.stages.flatMap((s) => (s.id === 'dead' || s.id === 'live' ? s.steps : []));
  const at = steps.findIndex((s) => s.step.id === liveStepOf(test));
  const before = steps.slice(0, at).filter((s) => s.step.conditional === undefined);
  const status = steps[at]?.status;
  return before.every((s) => s.status === 'done') && (status === 'done' || status === 'ready');
}

/** No load goes through what made too much heat of one. */
function mayLoad({ joints }: Answer, test: Test): boolean {
  return !('amps' in test) || joints.every((j) => j.what !== 'load-off');
}

/** The step of the live stage at which a reading of this kind is taken, be it planned or not. */
function liveStepOf(test: Test): string {
  if (test.test === 'loaded-voltage') return 'under-load';
  if (test.test === 'observation') {
    if (test.what === 'holds-under-load') return 'under-load';
    if (test.what === 'dead-when-tripped') return 'test-button';
    return test.what === 'three-lamp' ? 'slot-voltages' : 'breaker-on';
  }
  const touches = (place: string) => [test.from, test.to].some((p) => p.startsWith(place));
  if (touches('outlet')) return 'slot-voltages';
  if (touches('chassis')) return 'chassis-to-earth';
  return touches('connector') ? 'cord-end-measured' : 'supply-measured';
}

function plannedFor(job: Assessment, test: Test): PlannedReading | undefined {
  return [...job.readings.values()].map((r) => r.planned).find((r) => isTest(r, test));
}

function isTest(r: PlannedReading, test: Test): boolean {
  if (test.test === 'observation') {
    if (r.test !== 'observation' || r.what !== test.what) return false;
    return !('at' in test) || (r.from && placeOf(r.from)) === test.at;
  }
  return r.test === test.test && [r.from, r.to].sort().join() === [test.from, test.to].sort().join();
}

function wouldShow(job: Assessment, answer: Answer, test: Test): NextInJob['wouldShow'] {
  const { circuit, meter } = readingsFileOf(job);
  const byValue = new Map<string, string[]>();
  for (const { faults, text } of leadingOf(answer.suspects).slice(0, mostSuspects)) {
    const value = predictionText(predictOne(circuit, meter, faults, test));
    byValue.set(value, [...(byValue.get(value) ?? []), text]);
  }
  return [...byValue].map(([value, suspects]) => ({ value, suspects }));
}
