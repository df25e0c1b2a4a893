import type { Circuit } from '../circuit/circuit.js';
import { sheet } from '../circuit/sheet.js';
import type { SheetLine } from '../circuit/sheet-line.js';
import { plannedReadings } from './planned-readings.js';
import { readingDrafts } from './readings/reading-drafts.js';
import type { PlannedReading, Step } from './step.js';
import { stepsOf } from './steps-of.js';

/** All that a circuit calls for, before anything was done. */
export interface Plan {
  readonly circuit: Circuit;
  readonly sheet: readonly SheetLine[];
  readonly steps: readonly Step[];
  readonly readings: readonly PlannedReading[];
  /** By a step's id: the steps that bar it while they are not done. */
  readonly barring: ReadonlyMap<string, ReadonlySet<Step>>;
}

// A plan depends on nothing but its circuit, and circuits are never changed in place: each is worked out once.
const plans = new WeakMap<Circuit, Plan>();

/** The plan of a circuit. */
export function planOf(circuit: Circuit): Plan {
  const known = plans.get(circuit);
  if (known) return known;
  const drafts = readingDrafts(circuit);
  const steps = stepsOf(circuit, drafts);
  const barring = new Map(
    steps.map((step) => [
      step.id,
      new Set(steps.filter((earlier) => earlier !== step && bars(earlier, step))),
    ]),
  );
  const readings = plannedReadings(circuit, drafts);
  const plan = { circuit, sheet: sheet(circuit), steps, readings, barring };
  plans.set(circuit, plan);
  return plan;
}

/**
 * What bars a step: the steps it names, and for everything that is energised every dead test. The second is not left to
 * the steps' own lists, because one forgotten name there would put a person at a live terminal.
 */
function bars(earlier: Step, step: Step): boolean {
  if (step.waitsFor.includes(earlier.id)) return earlier.conditional === undefined;
  return step.stage === 'live' && earlier.stage === 'dead' && earlier.conditional === undefined;
}

/** What changed between two bases, as "label: from → to"; empty where nothing did. */
export function basisChanges(
  before: Readonly<Record<string, string>>,
  now: Readonly<Record<string, string>>,
): string[] {
  // The same plan gave both: most entries are of the circuit that is in force.
  if (before === now) return [];
  const labels = [...new Set([...Object.keys(before), ...Object.keys(now)])];
  return labels
    .filter((label) => before[label] !== now[label])
    .map((label) => `${label}: ${before[label] ?? 'none'} → ${now[label] ?? 'none'}`);
}
