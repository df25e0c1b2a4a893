import { type Assessment, isDue, readingsOf, type StepStanding } from './assessment.js';
import { minutesOfSteps } from './content/minutes.js';

/** What is left to do of some steps; steps that are done only where they apply are not counted. */
export interface WorkLeft {
  readonly steps: number;
  readonly of: number;
  /** Planned readings of these steps that must still be taken. */
  readonly readings: number;
  /** By what each step usually takes: a guess, for planning a day and nothing else. */
  readonly minutes: number;
}

/** What is left in the stage where the work stands, and in all. */
export function workLeft(job: Assessment): {
  stage: WorkLeft & { title: string };
  all: WorkLeft;
} {
  const id = job.next?.step.stage ?? job.stage;
  const stage = job.stages.find((s) => s.id === id);
  return {
    stage: { ...leftOf(stage?.steps ?? [], job), title: stage?.title ?? '' },
    all: leftOf([...job.steps.values()], job),
  };
}

function leftOf(steps: readonly StepStanding[], job: Assessment): WorkLeft {
  const due = steps.filter((s) => s.step.conditional === undefined);
  const left = due.filter((s) => s.status !== 'done');
  const readings = left.flatMap((s) => readingsOf(s.step, job)).filter(isDue);
  return {
    steps: left.length,
    of: due.length,
    readings: readings.length,
    minutes: left.reduce((sum, s) => sum + minutesOf(s.step.id), 0),
  };
}

/** About how many minutes a step takes. Throws RangeError where nobody said: every step that a circuit calls for has its figure. */
export function minutesOf(id: string): number {
  const minutes = minutesOfSteps[id.split('.')[0] ?? ''];
  if (minutes === undefined) throw new RangeError(`nothing is known of how long ${id} takes`);
  return minutes;
}

/** Minutes as a person says them, never more exact than they are: "about 20 min", "about 3 h", "about 2 days of 8 h". */
export function aboutHowLong(minutes: number): string {
  if (minutes <= 45) return `about ${Math.max(5, roundTo(minutes, minutes < 20 ? 5 : 10))} min`;
  const hours = minutes / 60;
  if (hours < 1.75) return hours < 1.25 ? 'about 1 h' : 'about 1½ h';
  return hours < 10 ? `about ${Math.round(hours)} h` : `about ${roundHalf(hours / 8)} days of 8 h`;
}

function roundTo(value: number, step: number): number {
  return Math.round(value / step) * step;
}

function roundHalf(days: number): string {
  const halves = Math.round(days * 2);
  return halves % 2 === 0 ? `${halves / 2}` : `${Math.floor(halves / 2) || ''}½`;
}
