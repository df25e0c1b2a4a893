import type { OwnerFacts } from '../trade/owner-sentences.js';
import { whatMayNotRunTogether, whatMayRunTogether } from './allowed-set.js';
import type { Circuit } from './circuit.js';
import { gaugeText, metresText } from './quantity-text.js';

/** The figures of this circuit that the owner's sentences need. */
export function ownerFacts(circuit: Circuit): OwnerFacts {
  const { cord } = circuit;
  return {
    mayRunTogether: whatMayRunTogether(circuit),
    mayNotRunTogether: whatMayNotRunTogether(circuit),
    cord: `${gaugeText(cord.awg)}, ${metresText(cord.lengthM)}, ${cord.typeLetters}`,
    breakerAmps: circuit.breaker.amps,
    devicePlace: circuit.run[0]!.place,
  };
}
