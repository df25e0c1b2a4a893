import type { Circuit } from '../../circuit/circuit.js';
import { gaugeText } from '../../circuit/quantity-text.js';
import { cableFacts, feedFacts } from './figures.js';

/** The cable and every length of it, gauge and length: the facts of the steps that pull, hold and picture it. */
export const runFacts = (circuit: Circuit): Record<string, string> => ({
  ...cableFacts(circuit),
  ...feedFacts(circuit, circuit.run.length, true),
});

/** The tag on the cable from the inlet to the breaker, where it is one of its own: "inlet → breaker (10 AWG)". */
export function inletTagOf({ inletWire }: Circuit): string | undefined {
  return inletWire && `inlet → breaker (${gaugeText(inletWire.awg)})`;
}

/** The tag on a length of cable, by its place from 0: "feed 1 (12 AWG)", "1 → 2 (12 AWG)". */
export function tagOf(circuit: Circuit, k: number): string {
  const gauge = gaugeText(circuit.run[k]!.feed.awg);
  return k === 0 ? `feed 1 (${gauge})` : `${k} → ${k + 1} (${gauge})`;
}
