import type { Circuit } from './circuit.js';

/** What leads from the inlet to the breaker: a cable of its own, or the first outlet's, which goes on from there. */
export function inletAwg({ inletWire, run }: Circuit): number {
  return inletWire?.awg ?? run[0]!.feed.awg;
}

/** The outside diameter of the cable that enters at the inlet, mm. */
export function enteringDiameterMm({ inletWire, cable }: Circuit): number {
  return inletWire?.outsideDiameterMm ?? cable.outsideDiameterMm;
}

/** The outside diameter of the thickest cable in the van, mm. */
export function thickestDiameterMm({ inletWire, cable }: Circuit): number {
  return Math.max(inletWire?.outsideDiameterMm ?? 0, cable.outsideDiameterMm);
}
