import { readingMet } from '../steps/assess-readings.js';
import type { Assessment, DefectStanding, ReadingStanding } from '../steps/assessment.js';
import { placeOfStageHold } from './circuit-drawing.js';
import type { CircuitDefect, CircuitHold, Progress } from './circuit-progress.js';
import { type Conductor, conductors, type Place, placesOf, type Segment, segmentsOf } from './place.js';

/** What the circuit's drawing says of a job: how far each conductor has come, what is broken, what is held. */
interface JobProgress {
  readonly progress: (segment: Segment, conductor: Conductor) => Progress;
  readonly defects: readonly CircuitDefect[];
  readonly holds: readonly CircuitHold[];
}

/**
 * A conductor is landed when the steps that pull and land it are done, proven dead when every required dead reading that
 * touches it is met, proven live likewise. A stage that does not stand lets no later one count.
 */
export function jobProgress(job: Assessment): JobProgress {
  const states = new Map<string, Progress>();
  for (const segment of segmentsOf(job.circuit))
    for (const conductor of conductors)
      states.set(`${segment} ${conductor}`, stateOf(job, segment, conductor));
  return {
    progress: (segment, conductor) => states.get(`${segment} ${conductor}`) ?? 'planned',
    defects: job.defects.filter((d) => d.status !== 'closed').map((d) => defectMark(job, d)),
    holds: holdMarks(job),
  };
}

function stateOf(job: Assessment, segment: Segment, conductor: Conductor): Progress {
  if (!isLanded(job, segment)) return 'planned';
  if (!isProven(job, 'dead', segment, conductor)) return 'landed';
  return isProven(job, 'live', segment, conductor) ? 'live' : 'dead';
}

/** The cord is bought, not landed: it starts where the others are once landed. */
function isLanded(job: Assessment, segment: Segment): boolean {
  if (segment === 'cord') return true;
  const steps = [...job.steps.values()].filter(
    ({ step }) =>
      (step.stage === 'cable' || step.stage === 'terminations') &&
      step.conditional === undefined &&
      step.parts.includes(segment),
  );
  return steps.length > 0 && steps.every((s) => s.status === 'done');
}

function isProven(job: Assessment, stage: 'dead' | 'live', segment: Segment, conductor: Conductor): boolean {
  const touching = [...job.readings.values()].filter(
    ({ planned }) => planned.stage === stage && planned.required && planned.parts.includes(segment),
  );
  const own = touching.filter((r) => touches(r, conductor));
  return own.length > 0 && own.every(readingMet);
}

function touches({ planned }: ReadingStanding, conductor: Conductor): boolean {
  const ends = [planned.from, planned.to]
    .filter((end) => end !== undefined)
    .map((end) => end.split('.').at(-1));
  const named = ends.filter((end) => conductors.some((c) => c === end));
  return named.length === 0 || named.includes(conductor);
}

function defectMark(job: Assessment, { defect, status }: DefectStanding): CircuitDefect {
  const subject = defect.subject;
  const parts = subject.startsWith('reading:')
    ? job.readings.get(subject.slice('reading:'.length))?.planned.parts
    : subject.startsWith('step:')
      ? job.steps.get(subject.slice('step:'.length))?.step.parts
      : [subject.replace(/^place:/, '')];
  const [fault] = defect.body.suspects[0]?.faults ?? [];
  const suspected = faultPlace(job, fault);
  const named = placesOf(job.circuit).filter((place) => parts?.includes(place));
  const conductor = conductors.find((c) => c === fault?.conductor);
  return {
    place: suspected ?? named.at(-1) ?? 'inlet',
    ...(suspected !== undefined && conductor !== undefined ? { conductor } : {}),
    word: status === 'open' ? 'defect' : 'test again',
  };
}

/** The place that a fault of the readings language names: `feed2`, `outlet1`, by the outlet's identity. */
function faultPlace(
  job: Assessment,
  fault: Readonly<Record<string, unknown>> | undefined,
): Place | undefined {
  const where =
    typeof fault?.where === 'string'
      ? fault.where
      : typeof fault?.fault === 'string' && fault.fault === 'bootleg-reversed'
        ? 'supply'
        : '';
  const numbered = /^(feed|outlet)(\d+)$/.exec(where);
  const outlet = numbered ? job.circuit.run[Number(numbered[2]) - 1] : undefined;
  const name = numbered ? `${numbered[1]}:${outlet?.id}` : where;
  return placesOf(job.circuit).find((place) => place === name);
}

/** One bar a place: the first hold that stands there. */
function holdMarks(job: Assessment): CircuitHold[] {
  const marks = new Map<Place, string>();
  for (const hold of job.holds) {
    const place = placeOfStageHold(hold.stage, job.circuit);
    if (!marks.has(place)) marks.set(place, `hold ${job.steps.get(hold.step)?.step.number ?? ''}`.trim());
  }
  return [...marks].map(([place, word]) => ({ place, word }));
}
