import type { Entry, NewEntry } from '../logbook/entry.js';
import { circuitAt, type JobLog } from '../logbook/job-log.js';
import { reopensReading, reopensStep } from './disturbances.js';
import { changesTheWork } from './entry-kinds.js';
import { basisChanges, planOf } from './plan-of.js';
import { parseSubject, subjectsOfStep } from './subject.js';

/** What an entry is about: all that tells whether another concerns it. */
export type Spoken = Pick<NewEntry, 'kind' | 'subject'>;

/**
 * What was written after entry `seen` that speaks of the same thing as an entry that somebody is about to add: they have
 * not seen it, and would answer it unread. A photo takes nothing back, so it neither disturbs nor is disturbed.
 */
export function writtenSince(log: JobLog, seen: number, entry: Spoken): Entry[] {
  if (entry.kind === 'photo added') return [];
  return log.entries.slice(seen).filter((e) => e.kind !== 'photo added' && concerns(log, e, entry));
}

const standing: readonly Entry['kind'][] = ['job set aside', 'job taken up', 'job closed'];
const records: readonly Entry['kind'][] = ['record issued', 'record withdrawn'];

/** For what is said of the whole job: the kinds that it would answer unread. */
function answeredBy(kind: NewEntry['kind'], later: Entry['kind']): boolean {
  switch (kind) {
    case 'job set aside':
    case 'job taken up':
      return standing.includes(later);
    // What failed meanwhile would be put away unread: nobody looks for work in a closed job.
    case 'job closed':
      return standing.includes(later) || records.includes(later) || changesTheWork(later);
    case 'second look signed':
      return later === kind || changesTheWork(later);
    case 'record issued':
      return later === 'second look signed' || records.includes(later) || changesTheWork(later);
    case 'record withdrawn':
      return records.includes(later);
    default:
      return later === kind;
  }
}

function concerns(log: JobLog, later: Entry, entry: Spoken): boolean {
  if (entry.subject === 'job') return answeredBy(entry.kind, later.kind);
  return subjectsOf(log, entry).some((subject) => speaksOf(log, later, subject));
}

/** What an entry answers: a concession of a step covers how the readings of it stand, too. */
function subjectsOf({ circuit }: JobLog, { kind, subject }: Spoken): string[] {
  const id = kind === 'concession granted' ? parseSubject(subject) : undefined;
  const step = id?.of === 'step' && circuit && planOf(circuit).steps.find((s) => s.id === id.id);
  return step ? subjectsOfStep(step) : [subject];
}

function speaksOf(log: JobLog, later: Entry, subject: string): boolean {
  if (later.subject === subject) return true;
  if (later.kind === 'instrument questioned')
    return later.body.entries.some((seq) => log.entries[seq - 1]?.subject === subject);
  if (later.kind === 'circuit set') return changedBy(log, later.seq, subject);
  return later.kind === 'defect reworked' && disturbedBy(log, later, subject);
}

/** Whether a change of the circuit alters what a step, a reading or a line of the sheet asks. */
function changedBy(log: JobLog, seq: number, subjectText: string): boolean {
  const [before, after] = [circuitAt(log, seq - 1), circuitAt(log, seq)];
  const subject = parseSubject(subjectText);
  if (before === undefined || after === undefined || subject === undefined) return after !== undefined;
  const [then, now] = [planOf(before), planOf(after)];
  switch (subject.of) {
    case 'step':
    case 'reading': {
      const of = (plan: typeof then) =>
        (subject.of === 'step' ? plan.steps : plan.readings).find(({ id }) => id === subject.id);
      return basisChanges(of(then)?.basis ?? {}, of(now)?.basis ?? {}).length > 0;
    }
    case 'sheet': {
      const [a, b] = [then, now].map((plan) => plan.sheet.find((line) => line.id === subject.id));
      return a?.value !== b?.value || a?.limit !== b?.limit;
    }
    default:
      return false;
  }
}

/** Whether a mend asks for a step or a reading to be done again: one from before it must not count as one after it. */
function disturbedBy(
  log: JobLog,
  rework: Extract<Entry, { kind: 'defect reworked' }>,
  about: string,
): boolean {
  const { circuit } = log;
  const subject = parseSubject(about);
  if (circuit === undefined || (subject?.of !== 'step' && subject?.of !== 'reading')) return false;
  const plan = planOf(circuit);
  const step = subject.of === 'step' ? plan.steps.find((s) => s.id === subject.id) : undefined;
  const reading = subject.of === 'reading' ? plan.readings.find((r) => r.id === subject.id) : undefined;
  return (
    (step !== undefined && reopensStep(circuit, rework, step)) ||
    (reading !== undefined && reopensReading(circuit, rework, reading))
  );
}
