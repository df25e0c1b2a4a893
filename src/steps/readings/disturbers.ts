import type { Circuit, Outlet } from '../../circuit/circuit.js';

/**
 * The words by which a reading says what disturbs it: the `what` of a disturbance; for a conductor that was landed again,
 * with the outlet's identity behind a colon. What happens in a box disturbs its readings and those of all boxes behind it.
 */
export const relandedAt = (outlets: readonly Outlet[]): string[] =>
  outlets.map((o) => `conductor-relanded:${o.id}`);

/** Landed again anywhere from the first outlet up to this one. */
export const relandedUpTo = (circuit: Circuit, outlet: Outlet): string[] =>
  relandedAt(circuit.run.slice(0, circuit.run.indexOf(outlet) + 1));

export const deviceTouched = 'ground-fault-device-touched';
export const bondTouched = 'bond-touched';
export const cordChanged = 'cord-changed';
export const waterFound = 'water-or-new-hole';
export const boxOpened = 'breaker-or-inlet-box-opened';
export const supplyOnly = 'supply-only';
