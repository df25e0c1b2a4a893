import type { Circuit } from './circuit.js';

/** Cables by their gauge, AWG, as a circuit and a readings file have them. */
interface Cables {
  readonly inletWire?: { readonly awg: number } | undefined;
  readonly run: readonly { readonly feed: { readonly awg: number } }[];
}

/** The gauge of what leads from the inlet to the breaker: a cable of its own, or the first outlet's, which goes on from there. */
export function inletAwg({ inletWire, run }: Cables): number {
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
