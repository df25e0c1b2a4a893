import type { Circuit } from '../../circuit/circuit.js';
import { standingCautions } from '../../trade/cautions.js';
import { groundFaultOutlet } from './figures.js';

/** What bars groups of steps: the lists that several stages share. */

/** Steps of the sheet that bar the drill and the saw. */
const sheetHolds = [
  'last-word',
  'other-sources',
  'loads-listed',
  'ratings-ladder',
  'cable-chosen',
  'cord-and-drop',
  'boxes-and-entry',
  'device-chosen',
] as const;

/** Everything that must be done before the body is drilled or cut. */
export const cutHolds = [...sheetHolds, 'walk-round', 'look-behind', 'van-dead', 'template-marked'] as const;

/** What must be done before any conductor is landed. */
export const landingHolds = ['supports', 'strain-relief', 'tools-laid-out'] as const;

/** Everything made by hand that must be finished before the dead tests begin. */
export function deadHolds(circuit: Circuit): string[] {
  return [
    'tools-laid-out',
    'inlet-torque',
    'bond',
    ...(circuit.otherSources.some((s) => s.metalCase) ? ['case-bond'] : []),
    'breaker-box',
    'breaker-first',
    ...circuit.run.map((o) => `prove-hand-work.${o.id}`),
    ...(groundFaultOutlet(circuit) ? ['line-load-looked-again'] : []),
    'hose-test',
  ];
}

/** What a dead test leans on: the absence of voltage, and all hand work finished. */
export function afterProof(circuit: Circuit): string[] {
  return ['absence-of-voltage', ...deadHolds(circuit)];
}

/** What a live step waits for: every dead test, a ready place, and what else it names. */
export function afterReady(circuit: Circuit, ...more: string[]): string[] {
  return [...deadTests(circuit), 'ready-for-live', ...more];
}

/** Said at every energised step. */
export const energised = standingCautions;

/** The dead tests that must have passed before anything is energised. */
export function deadTests(circuit: Circuit): string[] {
  return [
    'absence-of-voltage',
    'ground-path',
    'bond-path',
    'poles-to-first',
    ...(hasRunBehind(circuit) ? ['poles-behind'] : []),
    ...(groundFaultOutlet(circuit) ? ['isolation-behind'] : []),
    'isolation-at-inlet',
    'cord-alone',
    'everything-off',
  ];
}

/** True where an outlet stands behind a ground-fault device. */
export function hasRunBehind(circuit: Circuit): boolean {
  const first = groundFaultOutlet(circuit);
  return first !== undefined && circuit.run.indexOf(first) < circuit.run.length - 1;
}
