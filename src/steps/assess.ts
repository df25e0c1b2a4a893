import type { Circuit } from '../circuit/circuit.js';
import { holdsCutting } from '../circuit/sheet-line.js';
import type { JobLog } from '../logbook/job-log.js';
import { standingDefects } from './assess-defects.js';
import { standingReadings } from './assess-readings.js';
import { standingSteps, stepsStay } from './assess-steps.js';
import type { Assessment, SheetStanding, StageStanding, StepStanding } from './assessment.js';
import { sameGround } from './common-ground.js';
import { issueBars } from './issue-bars.js';
import { type Plan, planOf } from './plan-of.js';
import { concessionFor } from './standing-concession.js';
import { stageIds, stages } from './step.js';

/**
 * Everything a person sees of a job, computed from its logbook: which step is open and why, what each reading proves,
 * what is held, and what bars the record. Undefined while no circuit is set. `grownFrom` may name a log that this one grew from:
 * where it was assessed, only what moved since is worked out, and the answer is the same.
 */
export function assess(log: JobLog, grownFrom?: JobLog): Assessment | undefined {
  if (log.circuit === undefined) return undefined;
  const known = (log as Assessed)[assessed];
  if (known !== undefined) return known;
  const before = (grownFrom as Assessed | undefined)?.[assessed];
  const assessment = assessNew(log, log.circuit, before);
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

function assessNew(log: JobLog, circuit: Circuit, earlier: Assessment | undefined): Assessment {
  const plan = planOf(circuit);
  const before = earlier !== undefined && sameGround(earlier.log, log) ? earlier : undefined;
  const sheet = before?.sheet ?? standingSheet(plan, log);
  const readings = standingReadings(log, plan, before);
  const defects = standingDefects(log, plan, readings);
  const course =
    before !== undefined && stepsStay(before, log, { readings, defects })
      ? before
      : courseOf(plan, standingSteps(log, plan, { sheet, readings, defects }));
  const { steps, stages, holds, stage, next } = course;
  const partial = { log, circuit, sheet, stages, steps, readings, defects, holds, stage, next };
  return { ...partial, barsIssue: issueBars(partial) };
}

/** The steps by their stages, what they hold, and what is next. */
function courseOf(
  plan: Plan,
  steps: ReadonlyMap<string, StepStanding>,
): Pick<Assessment, 'steps' | 'stages' | 'holds' | 'stage' | 'next'> {
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
  return {
    steps,
    stages: stageList,
    holds: list
      .filter((s) => s.step.hold !== undefined && s.status !== 'done')
      .map((s) => ({ step: s.step.id, stage: s.step.stage, text: s.step.hold as string })),
    stage: next?.step.stage ?? stageList.find((s) => !s.done)?.id ?? 'handover',
    next,
  };
}

/** The first step that can be done now; a conditional one is never asked for. */
function nextStep(list: readonly StageStanding[]): StepStanding | undefined {
  const steps = list.flatMap((stage) => stage.steps);
  return steps.find((s) => s.status === 'ready' && s.step.conditional === undefined);
}

/** The sheet's lines with the concessions that still stand for them: one given for other figures is spent. */
function standingSheet(plan: Plan, log: JobLog): readonly SheetStanding[] {
  return plan.sheet.map((line) => {
    const concession =
      line.concession === 'never'
        ? undefined
        : concessionFor(log, `sheet:${line.id}`, (then) => {
            const granted = then.sheet.find((l) => l.id === line.id);
            return granted?.value === line.value && granted.limit === line.limit;
          });
    return {
      line,
      met: !holdsCutting(line) || concession !== undefined,
      ...(concession === undefined ? {} : { concession }),
    };
  });
}
