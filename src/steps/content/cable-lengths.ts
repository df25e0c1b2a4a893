import type { Circuit, Outlet } from '../../circuit/circuit.js';
import { gaugeText } from '../../circuit/quantity-text.js';
import { cableFacts, feedFacts } from './figures.js';

/** The cable and every length of it, gauge and length: the facts of the steps that pull, hold and picture it. */
export const allCableFacts = (circuit: Circuit): Record<string, string> => ({
  ...cableFacts(circuit),
  ...feedFacts(circuit, circuit.run.length, true),
});

/** One length of cable, from box to box. */
interface CableLength {
  /** Permanent: the outlet's identity, or `inlet-wire`, which no outlet may have, for a cable of its own from the inlet to the breaker. */
  readonly id: string;
  /** "inlet → breaker (10 AWG)", "feed 1 (12 AWG)", "1 → 2 (12 AWG)". */
  readonly tag: string;
  readonly lengthM: number;
  readonly outlet?: Outlet;
}

/** Every length of cable in the van, in the order of the current. */
export function cableLengths({ inletWire, run }: Circuit): CableLength[] {
  const own = inletWire && {
    id: 'inlet-wire',
    tag: `inlet → breaker (${gaugeText(inletWire.awg)})`,
    lengthM: inletWire.lengthM,
  };
  return [
    ...(own ? [own] : []),
    ...run.map((o, k) => ({
      id: o.id,
      tag: `${k === 0 ? 'feed 1' : `${k} → ${k + 1}`} (${gaugeText(o.feed.awg)})`,
      lengthM: o.feed.lengthM,
      outlet: o,
    })),
  ];
}
