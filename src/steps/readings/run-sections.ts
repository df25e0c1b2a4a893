import type { Circuit, Outlet } from '../../circuit/circuit.js';

/**
 * A stretch of the run that one dead test can reach: from the inlet, or from the LOAD screws of a ground-fault device, to
 * the LINE screws of the next one or to the last outlet.
 */
export interface Section {
  /** "inlet" or "outlet1.load": what a point's name begins with at the start. */
  readonly start: string;
  /** The device whose LOAD begins it; undefined at the inlet. */
  readonly device: Outlet | undefined;
  readonly outlets: readonly Outlet[];
}

/** The stretches of a run, in order; one behind a device at the end of the run has no outlets. */
export function sectionsOf(circuit: Circuit): Section[] {
  const sections: Section[] = [];
  let device: Outlet | undefined;
  let outlets: Outlet[] = [];
  for (const outlet of circuit.run) {
    outlets.push(outlet);
    if (outlet.device !== 'gfci-receptacle') continue;
    sections.push({ start: startOf(circuit, device), device, outlets });
    device = outlet;
    outlets = [];
  }
  return [...sections, { start: startOf(circuit, device), device, outlets }];
}

function startOf(circuit: Circuit, device: Outlet | undefined): string {
  return device ? `outlet${circuit.run.indexOf(device) + 1}.load` : 'inlet';
}

/** What the name of an outlet's hot and neutral begins with for a dead test that comes from ahead of it. */
export function reachedAt(circuit: Circuit, outlet: Outlet): string {
  const number = circuit.run.indexOf(outlet) + 1;
  return outlet.device === 'gfci-receptacle' ? `outlet${number}.line` : `outlet${number}`;
}
