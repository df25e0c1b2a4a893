import type { Circuit } from '../circuit/circuit.js';
import type { JobLog } from '../logbook/job-log.js';
import { standingDefects } from './assess-defects.js';
import { standingReadings } from './assess-readings.js';
import { standingSteps } from './assess-steps.js';
import type { Assessment, SheetStanding, StageStanding, StepStanding } from './assessment.js';
import { issueBars } from './issue-bars.js';
import { type Plan, planOf } from './plan-of.js';
import { remembered } from './remembered.js';
import { concessionFor } from './standing-concession.js';
import { stageIds, stages } from './step.js';

/**
 * Everything a person sees of a job, computed from its logbook: which step is open and why, what each reading proves,
 * what is held, and what bars the record. Undefined while no circuit is set.
 */
export function assess(log: JobLog): Assessment | undefined {
  if (log.circuit === undefined) return undefined;
  const before = (log as Assessed)[assessed];
  if (before !== undefined) return before;
  const assessment = assessNew(log, log.circuit);
  // Hidden, so that a copy of the log with other parts does not take it along.
  Object.defineProperty(log, assessed, { value: assessment });
  return assessment;
}

/**
 * A log never changes once it is folded, so it is assessed once, however many pages ask. Its assessment is kept on the log itself: it points back
 * to the log, and what a WeakMap holds so outlives every quick collection of memory, log and all.
 */
const assessed = Symbol('assessed');
type Assessed = JobLog & { readonly [assessed]?: Assessment };

function assessNew(log: JobLog, circuit: Circuit): Assessment {
  const plan = planOf(circuit);
  const lines = standingSheet(plan, undefined, log);
  const readings = standingReadings(log, plan);
  const defects = standingDefects(log, plan, readings);
  const steps = standingSteps(log, plan, lines, readings, defects);
  const list = plan.steps.map((step) => steps.get(step.id) as StepStanding);
  const stageList = stageIds.map((id): StageStanding => {
    const own = list.filter((s) => s.step.stage === id);
    return {
      id,
      title: stages[id],
      steps: own,
      done: own.every((s) => s.status === 'done' || s.step.conditional !== undefined),
    };
  });
  const next = nextStep(stageList);
  const partial = {
    log,
    circuit,
    sheet: lines,
    stages: stageList,
    steps,
    readings,
    defects,
    holds: list
      .filter((s) => s.step.hold !== undefined && s.status !== 'done')
      .map((s) => ({ step: s.step.id, stage: s.step.stage, text: s.step.hold as string })),
    stage: next?.step.stage ?? stageList.find((s) => !s.done)?.id ?? 'handover',
    next,
  };
  return { ...partial, barsIssue: issueBars(partial) };
}

/** The first step that can be done now; a conditional one only where nothing else is left. */
function nextStep(list: readonly StageStanding[]): StepStanding | undefined {
  const ready = list.flatMap((s) => s.steps).filter((s) => s.status === 'ready');
  return ready.find((s) => s.step.conditional === undefined) ?? undefined;
}

/** The sheet's lines with the concessions that still stand for them: one given for other figures is spent. */
const standingSheet = remembered(
  ['concessions', 'circuits'],
  (plan: Plan, _own: undefined, log): readonly SheetStanding[] =>
    plan.sheet.map((line) => {
      const concession =
        line.concession === 'never'
          ? undefined
          : concessionFor(log, `sheet:${line.id}`, (then) => {
              const granted = then.sheet.find((l) => l.id === line.id);
              return granted?.value === line.value && granted.limit === line.limit;
            });
      const passes = line.verdict === 'pass' || line.verdict === 'note';
      return {
        line,
        met: passes || concession !== undefined,
        ...(concession === undefined ? {} : { concession }),
      };
    }),
);
