import type { EntryOf } from '../logbook/entry.js';
import { circuitAt, type JobLog } from '../logbook/job-log.js';
import { standingRecord } from '../logbook/standing-record.js';
import { answerIssues, offLimits } from './answer-issues.js';
import { readingMet } from './assess-readings.js';
import {
  type Assessment,
  type DefectStanding,
  type ReadingStanding,
  readingsOf,
  type StepStanding,
} from './assessment.js';
import type { CommonGround } from './common-ground.js';
import { reopensStep } from './disturbances.js';
import { expiredText, questionedText } from './instrument-doubts.js';
import { basisChanges, type Plan, planOf } from './plan-of.js';
import { concessionFor } from './standing-concession.js';
import { issueStepId, type Step } from './step.js';
import { subjectsOfStep } from './subject.js';

/** Where every step of the plan stands. */
export function standingSteps(
  log: StepsLog,
  plan: Plan,
  { sheet, readings, defects }: Pick<Assessment, 'sheet' | 'readings' | 'defects'>,
): ReadonlyMap<string, StepStanding> {
  const unmet = new Set(sheet.flatMap(({ met, line }) => (met ? [] : [line.group])));
  const unsound = new Map(defects.flatMap((d) => (d.status === 'closed' ? [] : [[d.defect.subject, d]])));
  const outcomes = plan.steps.map((step) => outcomeOf(log, step, { unmet, unsound, readings }));
  const undone = outcomes.flatMap(({ step, done }) => (done ? [] : [step]));
  const standing = new Map<string, StepStanding>();
  for (const { step, done, written } of outcomes)
    standing.set(step.id, done ? donePlace(step, written) : undonePlace(step, plan, written, undone));
  return standing;
}

/**
 * True where every step stands as it stood in a log with the same ground: none was written of, no defect was raised or closed, no record
 * came or went, and no reading is met that was not, or the other way. So it is after nearly every reading but the last one of its step.
 */
export function stepsStay(
  before: Pick<Assessment, 'log' | 'readings' | 'defects'>,
  log: JobLog,
  { readings, defects }: Pick<Assessment, 'readings' | 'defects'>,
): boolean {
  if (ownParts.some((part) => before.log[part] !== log[part])) return false;
  if (defects.some(({ status }, k) => status !== before.defects[k]?.status)) return false;
  for (const reading of readings.values()) {
    const then = before.readings.get(reading.planned.id);
    if (then !== reading && (then === undefined || readingMet(then) !== readingMet(reading))) return false;
  }
  return true;
}

/** What steps see of a log besides the common ground, the readings and where defects stand. */
const ownParts = ['steps', 'defects', 'issued', 'withdrawn'] as const;
type StepsLog = CommonGround & Pick<JobLog, (typeof ownParts)[number]>;

/** What was written of a step, and what stands of it. */
interface Written {
  readonly reopened: readonly string[];
  readonly answered: boolean;
  readonly entry?: EntryOf<'step done'>;
  readonly concession?: EntryOf<'concession granted'>;
}

interface Outcome {
  readonly step: Step;
  readonly done: boolean;
  readonly written: Written;
}

/**
 * What bars steps besides themselves: groups of the sheet with a line that is not met, subjects with a defect that is not closed, with
 * the newest one, and readings.
 */
interface Around {
  readonly unmet: ReadonlySet<string>;
  readonly unsound: ReadonlyMap<string, DefectStanding>;
  readonly readings: ReadonlyMap<string, ReadingStanding>;
}

function outcomeOf(log: StepsLog, step: Step, { unmet, unsound, readings }: Around): Outcome {
  if (step.id === issueStepId) return { step, done: standingRecord(log) !== undefined, written: nothing };
  // A reading that failed and reads right the next time, with nothing mended, is a loose joint and no proof.
  const defects = subjectsOfStep(step).flatMap((subject) => unsound.get(subject) ?? []);
  const newest = defects.toSorted((a, b) => b.defect.seq - a.defect.seq)[0];
  const written = writtenOf(step, log, newest?.defect.seq);
  const open = readingsOf(step, { readings }).filter((r) => r.planned.required && !readingMet(r));
  const computed = !step.sheetLines?.some((group) => unmet.has(group));
  const conceded = written.concession !== undefined && !open.some((r) => r.planned.concession === 'never');
  const met = written.answered && open.length === 0 && computed;
  if (newest === undefined) return { step, done: met || conceded, written: met ? asDone(written) : written };
  if (!met || conceded) return { step, done: conceded, written };
  return { step, done: false, written: { ...written, reopened: [...written.reopened, untilClosed(newest)] } };
}

/** What was conceded and is done after all, its readings taken and right, is conceded no longer. */
function asDone({ concession: _over, ...written }: Written): Written {
  return written;
}

/** What is still to be done for a defect that is not closed. */
function untilClosed({ defect, status, title }: DefectStanding): string {
  if (status === 'open') return `The defect in entry ${defect.seq} (${title}) is not mended yet.`;
  const what = defect.subject.startsWith('reading:') ? 'take that reading again' : 'do this again';
  return `The defect in entry ${defect.seq} (${title}) is mended: ${what}.`;
}

const nothing: Written = { reopened: [], answered: false };

function writtenOf(step: Step, log: StepsLog, defect: number | undefined): Written {
  const last = log.steps.get(`step:${step.id}`)?.at(-1);
  const entry = last?.kind === 'step done' ? last : undefined;
  const granted =
    step.concession === 'never'
      ? undefined
      : concessionFor(log, `step:${step.id}`, (then) => sameBasis(then, step));
  const doubt = granted && openedAfter(log, step, granted.seq, defect);
  const concession = doubt === undefined ? granted : undefined;
  const why = last === undefined ? [] : whyReopened(log, step, last);
  const reopened = [
    ...why,
    ...(doubt
      ? [`Entry ${doubt} came after the concession in entry ${granted?.seq}: that covers this no longer.`]
      : []),
  ];
  return {
    reopened,
    answered: step.asks.every((a) => a.optional) || (entry !== undefined && why.length === 0),
    ...(entry ? { entry } : {}),
    ...(concession ? { concession } : {}),
  };
}

/** What opens a step again, or says that something is wrong there, after it was conceded: whoever granted that knew nothing of it. */
function openedAfter(log: StepsLog, step: Step, seq: number, defect: number | undefined): number | undefined {
  const own = log.steps.get(`step:${step.id}`) ?? [];
  const { circuit } = log;
  const reopened = own.findLast((e) => e.kind === 'step reopened');
  const mend = circuit && log.reworks.findLast((r) => reopensStep(circuit, r, step));
  const questioned = own.map((e) => log.questioned.get(e.seq)?.seq);
  return [reopened?.seq, mend?.seq, defect, ...questioned].find((n) => n !== undefined && n > seq);
}

type LastOfStep = EntryOf<'step done'> | EntryOf<'step reopened'>;

function sameBasis(then: Plan, step: Step): boolean {
  const before = then.steps.find((s) => s.id === step.id);
  return before !== undefined && basisChanges(before.basis, step.basis).length === 0;
}

/** Why a step that was done is open again; empty where it is not. */
function whyReopened(log: StepsLog, step: Step, last: LastOfStep): string[] {
  if (last.kind === 'step reopened') return [`Opened again by ${last.by.name}: ${last.body.reason}`];
  const then = circuitAt(log, last.seq);
  const before = then === log.circuit ? step : then && planOf(then).steps.find((s) => s.id === step.id);
  const changes = before ? basisChanges(before.basis, step.basis) : ['the circuit did not call for it then'];
  const mend = log.circuit && log.reworks.find((r) => r.seq > last.seq && reopensStep(log.circuit!, r, step));
  const questioned = log.questioned.get(last.seq);
  return [
    ...(questioned ? [questionedText(questioned)] : []),
    ...(last.body.instruments ?? []).flatMap((i) => expiredText(last.at, i) ?? []),
    ...(changes.length > 0 ? [`The circuit changed (${changes.join('; ')}).`] : lacking(log, step, last)),
    ...(mend ? [`The mend in entry ${mend.seq} disturbed it.`] : []),
  ];
}

/**
 * What was written when the rules asked for less, or of a circuit that asked for less, held to what is asked now; a value off its limit
 * is said by its defect where one was raised.
 */
function lacking(log: StepsLog, step: Step, last: EntryOf<'step done'>): string[] {
  const label = (field: string) => step.asks.find((a) => a.id === field)?.label ?? 'Measured with';
  const issues = answerIssues(step, last.body, last.by.name).map(
    (i) => `${label(i.field)}: ${i.message.replace(/\.$/, '')}`,
  );
  const more = issues.length - mostLacking;
  const sameCircuit = circuitAt(log, last.seq) === log.circuit;
  const since = sameCircuit
    ? 'It was written down under earlier rules. By today’s it is open:'
    : 'The circuit changed since it was written down. As it is now it is open:';
  const known = log.defects.some((d) => d.seq > last.seq && d.subject === last.subject);
  return [
    ...(issues.length === 0
      ? []
      : [`${since} ${issues.slice(0, mostLacking).join('; ')}${more > 0 ? `; and ${more} more` : ''}.`]),
    ...(known
      ? []
      : offLimits(step, last.body).map(
          (off) => `${sameCircuit ? 'By today’s rules' : 'As the circuit is now'}: ${off}`,
        )),
  ];
}

const mostLacking = 4;

/** A step that is done: whatever bars others, it stands as it was written. */
function donePlace(step: Step, written: Written): StepStanding {
  return { step, status: 'done', reopened: [], because: [], ...asWritten(written) };
}

function undonePlace(step: Step, plan: Plan, written: Written, undone: readonly Step[]): StepStanding {
  const barring = plan.barring.get(step.id);
  const before = undone.filter((s) => barring?.has(s));
  const held = before.some((s) => s.hold !== undefined);
  return {
    step,
    status: held ? 'held' : before.length > 0 ? 'waiting' : 'ready',
    reopened: written.reopened,
    because: before.map((s) => ({
      step: s,
      text: `${s.number} ${s.title} ${s.hold === undefined ? 'comes first.' : `holds this: ${s.hold}`}`,
    })),
    ...asWritten(written),
  };
}

const asWritten = ({ entry, concession }: Written): Pick<StepStanding, 'done' | 'concession'> => ({
  ...(entry ? { done: entry } : {}),
  ...(concession ? { concession } : {}),
});
