import type { Circuit } from '../circuit/circuit.js';
import type { SheetLine } from '../circuit/sheet-line.js';
import type { EntryOf } from '../logbook/entry.js';
import type { JobLog } from '../logbook/job-log.js';
import type { PlannedReading, StageId, Step } from './step.js';

/** `noted` is a value written down that no limit judges: neither a pass nor a proof. */
export type Verdict = 'pass' | 'fail' | 'unproven' | 'noted';

/** Where a step stands. `held` names the hold that bars it; `waiting` the steps before it. */
export interface StepStanding {
  readonly step: Step;
  readonly status: 'done' | 'ready' | 'waiting' | 'held';
  /** Was done and is open again; says why. */
  readonly reopened: readonly string[];
  /** What must come first, and in words why. */
  readonly because: readonly { readonly step: Step; readonly text: string }[];
  readonly done?: EntryOf<'step done'>;
  readonly concession?: EntryOf<'concession granted'>;
}

/** Whether others come first: the step is not written down before them. */
export function isBarred({ status }: Pick<StepStanding, 'status'>): boolean {
  return status === 'held' || status === 'waiting';
}

/**
 * What must come before a reading is written down; empty where it may be. While a dead reading is wrong, those of the later dead
 * steps are open too, once it is proven dead: they tell which wire it is, and touch nothing. Not where they prove hand work of
 * their own step too, which is still to be done.
 */
export function barsOfReading(
  job: Pick<Assessment, 'steps' | 'readings' | 'defects'>,
  { step: id, stage, test }: PlannedReading,
): StepStanding['because'] {
  const step = job.steps.get(id);
  if (step === undefined || !isBarred(step)) return [];
  const traces =
    step.step.provesOwnWork === undefined &&
    stage === 'dead' &&
    test === 'resistance' &&
    job.steps.get('absence-of-voltage')?.status === 'done' &&
    step.because.every((bar) => bar.step.stage === 'dead') &&
    job.defects.some(
      ({ status, defect: { subject } }) =>
        status !== 'closed' && job.readings.get(subject.replace(/^reading:/, ''))?.planned.stage === 'dead',
    );
  return traces ? [] : step.because;
}

/** Where a reading stands. */
export interface ReadingStanding {
  readonly planned: PlannedReading;
  readonly verdict: Verdict | 'missing';
  /** The reading that counts, where one was taken since the last thing that disturbed it. */
  readonly taken?: EntryOf<'reading taken'>;
  /** Every one that was taken of it and not struck, oldest first: the very list of the log. `earlierReadings` are those that do not count. */
  readonly all: readonly EntryOf<'reading taken'>[];
  /** In the reading's own unit. */
  readonly uncertainty?: number;
  /** Why it is unproven and what would prove it, or why it must be taken again, or what the look-again line says. */
  readonly remarks: readonly string[];
  /** Of the remarks, the one that says what would prove a figure beside its limit, as it was judged alone. */
  readonly toProve?: string;
  readonly concession?: EntryOf<'concession granted'>;
}

/** The readings that were taken before the one that counts; all of them where none does. */
export function earlierReadings({
  all,
  taken,
}: Pick<ReadingStanding, 'all' | 'taken'>): readonly EntryOf<'reading taken'>[] {
  return taken === undefined ? all : all.slice(0, -1);
}

/** Whether it is still to be taken, or taken again. */
export function isDue({ planned, verdict }: Pick<ReadingStanding, 'planned' | 'verdict'>): boolean {
  return planned.required && verdict === 'missing';
}

/** A step's readings as they stand, in the order in which they are taken. */
export function readingsOf(
  { readings }: Pick<Step, 'readings'>,
  job: Pick<Assessment, 'readings'>,
): ReadingStanding[] {
  return readings.flatMap((id) => job.readings.get(id) ?? []);
}

export interface DefectStanding {
  readonly defect: EntryOf<'defect raised'>;
  readonly status: 'open' | 'reworked, to be tested again' | 'closed';
  readonly rework?: EntryOf<'defect reworked'>;
  readonly title: string;
}

/** Whether a defect about this subject of the logbook is not mended yet. */
export function hasOpenDefect({ defects }: Pick<Assessment, 'defects'>, subject: string): boolean {
  return defects.some((d) => d.defect.subject === subject && d.status === 'open');
}

export interface SheetStanding {
  readonly line: SheetLine;
  readonly concession?: EntryOf<'concession granted'>;
  /** Passes, is a note, or was conceded where it may be. */
  readonly met: boolean;
}

export interface StageStanding {
  readonly id: StageId;
  readonly title: string;
  readonly steps: readonly StepStanding[];
  readonly done: boolean;
}

/** One thing that bars the issue: the sentence, in words a fitter can act on, and what it speaks of. */
export interface Bar {
  readonly text: string;
  readonly about:
    | { readonly of: 'job' | 'sheet' | 'second-look' }
    | { readonly of: 'defect'; readonly seq: number }
    | { readonly of: 'step' | 'reading'; readonly id: string };
}

/** Everything a person sees of a job, computed from its logbook. */
export interface Assessment {
  readonly log: JobLog;
  readonly circuit: Circuit;
  readonly sheet: readonly SheetStanding[];
  readonly stages: readonly StageStanding[];
  readonly steps: ReadonlyMap<string, StepStanding>;
  readonly readings: ReadonlyMap<string, ReadingStanding>;
  readonly defects: readonly DefectStanding[];
  /** The hold points that stand now, in words, with the stage after which each bars the work. */
  readonly holds: readonly { readonly step: string; readonly stage: StageId; readonly text: string }[];
  readonly stage: StageId;
  readonly next: StepStanding | undefined;
  /** What bars the issue of the record; empty when it may be issued. */
  readonly barsIssue: readonly Bar[];
}
