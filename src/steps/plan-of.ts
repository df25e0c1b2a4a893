import type { Circuit } from '../circuit/circuit.js';
import { type SheetLine, sheet } from '../circuit/sheet.js';
import { plannedReadings } from './planned-readings.js';
import type { PlannedReading, Step } from './step.js';
import { stepsOf } from './steps-of.js';

/** All that a circuit calls for, before anything was done. */
export interface Plan {
  readonly sheet: readonly SheetLine[];
  readonly steps: readonly Step[];
  readonly readings: readonly PlannedReading[];
}

// A plan depends on nothing but its circuit, and circuits are never changed in place: each is worked out once.
const plans = new WeakMap<Circuit, Plan>();

/** The plan of a circuit. */
export function planOf(circuit: Circuit): Plan {
  const known = plans.get(circuit);
  if (known) return known;
  const plan = { sheet: sheet(circuit), steps: stepsOf(circuit), readings: plannedReadings(circuit) };
  plans.set(circuit, plan);
  return plan;
}

/** What changed between two bases, as "label: from → to"; empty where nothing did. */
export function basisChanges(
  before: Readonly<Record<string, string>>,
  now: Readonly<Record<string, string>>,
): string[] {
  const labels = [...new Set([...Object.keys(before), ...Object.keys(now)])];
  return labels
    .filter((label) => before[label] !== now[label])
    .map((label) => `${label}: ${before[label] ?? 'none'} → ${now[label] ?? 'none'}`);
}
