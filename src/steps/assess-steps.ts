import type { EntryOf } from '../logbook/entry.js';
import { circuitAt, type JobLog } from '../logbook/job-log.js';
import { standingRecord } from '../logbook/standing-record.js';
import { questionedText } from './accept-questioned.js';
import { readingMet } from './assess-readings.js';
import type { DefectStanding, ReadingStanding, SheetStanding, StepStanding } from './assessment.js';
import { disturbsStep } from './disturbances.js';
import { basisChanges, type Plan, planOf } from './plan-of.js';
import { concessionFor } from './standing-concession.js';
import type { Step } from './step.js';

/** The step that stands for the issued record itself: done when a record that still stands was issued. */
export const issueStepId = 'issue-record';

/** Where every step of the plan stands. */
export function standingSteps(
  log: JobLog,
  plan: Plan,
  sheet: readonly SheetStanding[],
  readings: ReadonlyMap<string, ReadingStanding>,
  defects: readonly DefectStanding[],
): Map<string, StepStanding> {
  const outcome = new Map(
    plan.steps.map((step) => [step.id, outcomeOf(log, step, sheet, readings, defects)]),
  );
  const standing = new Map<string, StepStanding>();
  for (const step of plan.steps) standing.set(step.id, place(step, plan, outcome));
  return standing;
}

interface Outcome {
  readonly done: boolean;
  readonly reopened: readonly string[];
  readonly entry?: EntryOf<'step done'>;
  readonly concession?: EntryOf<'concession granted'>;
}

function outcomeOf(
  log: JobLog,
  step: Step,
  sheet: readonly SheetStanding[],
  readings: ReadonlyMap<string, ReadingStanding>,
  defects: readonly DefectStanding[],
): Outcome {
  if (step.id === issueStepId) return { done: standingRecord(log) !== undefined, reopened: [] };
  const last = log.steps.get(`step:${step.id}`)?.at(-1);
  const entry = last?.kind === 'step done' ? last : undefined;
  const reopened = last === undefined ? [] : whyReopened(log, step, last);
  const concession =
    step.concession === 'never'
      ? undefined
      : concessionFor(log, `step:${step.id}`, (then) => sameBasis(then, step));
  const answered = step.asks.every((a) => a.optional) || (entry !== undefined && reopened.length === 0);
  const measured = step.readings.every((id) => {
    const reading = readings.get(id);
    return reading === undefined || !reading.planned.required || readingMet(reading);
  });
  const computed = (step.sheetLines ?? []).every((group) =>
    sheet.every((s) => s.line.group !== group || s.met),
  );
  const sound = !defects.some((d) => d.defect.subject === `step:${step.id}` && d.status !== 'closed');
  const done = (answered && measured && computed && sound) || concession !== undefined;
  return {
    done,
    reopened: done ? [] : reopened,
    ...(entry ? { entry } : {}),
    ...(concession ? { concession } : {}),
  };
}

function sameBasis(then: Plan, step: Step): boolean {
  const before = then.steps.find((s) => s.id === step.id);
  return before !== undefined && basisChanges(before.basis, step.basis).length === 0;
}

/** Why a step that was done is open again; empty where it is not. */
function whyReopened(
  log: JobLog,
  step: Step,
  last: EntryOf<'step done'> | EntryOf<'step reopened'>,
): string[] {
  if (last.kind === 'step reopened') return [`Opened again by ${last.by.name}: ${last.body.reason}`];
  const then = circuitAt(log, last.seq);
  const before = then === log.circuit ? step : then && planOf(then).steps.find((s) => s.id === step.id);
  const changes = before ? basisChanges(before.basis, step.basis) : ['the circuit did not call for it then'];
  const mend =
    log.circuit &&
    log.reworks.find(
      (r) => r.seq > last.seq && r.body.disturbs.some((d) => disturbsStep(log.circuit!, d, step)),
    );
  const questioned = log.questioned.get(last.seq);
  return [
    ...(questioned ? [questionedText(questioned)] : []),
    ...(changes.length > 0 ? [`The circuit changed (${changes.join('; ')}).`] : []),
    ...(mend ? [`The mend in entry ${mend.seq} disturbed it.`] : []),
  ];
}

function place(step: Step, plan: Plan, outcome: ReadonlyMap<string, Outcome>): StepStanding {
  const own = outcome.get(step.id) as Outcome;
  const before = (plan.barring.get(step.id) ?? []).filter((s) => outcome.get(s.id)?.done !== true);
  const holding = before.filter((s) => s.hold !== undefined);
  const status =
    before.length === 0
      ? own.done
        ? 'done'
        : 'ready'
      : holding.length > 0
        ? 'held'
        : own.done
          ? 'done'
          : 'waiting';
  return {
    step,
    status: own.done && status === 'held' ? 'done' : status,
    reopened: own.reopened,
    because: own.done
      ? []
      : before.map((s) =>
          s.hold === undefined
            ? `${s.number} ${s.title} comes first.`
            : `${s.number} ${s.title} holds this: ${s.hold}`,
        ),
    ...(own.entry ? { done: own.entry } : {}),
    ...(own.concession ? { concession: own.concession } : {}),
  };
}
