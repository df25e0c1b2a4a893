import type { Circuit } from '../../circuit/circuit.js';
import { gaugeText, metresText } from '../../circuit/quantity-text.js';
import { entryFacts, outletFacts } from '../content/figures.js';
import { boxOpened, relandedAt } from './disturbers.js';

/**
 * What of the circuit was landed on the way of a reading, by what disturbs it: a device, a terminal or a cable that is set to
 * another one was landed again, and disturbs what a mend at that place would disturb.
 */
export function landedFacts(
  circuit: Circuit,
): (disturbedBy: readonly string[]) => Readonly<Record<string, string>> {
  const places = [
    { disturber: boxOpened, facts: entryFacts(circuit) },
    ...circuit.run.map((o, k) => ({
      disturber: relandedAt([o])[0]!,
      facts: named(`outlet ${k + 1}`, outletFacts(circuit, o)),
    })),
  ];
  return (disturbedBy) =>
    Object.assign({}, ...places.filter((p) => disturbedBy.includes(p.disturber)).map((p) => p.facts));
}

/** All that was landed in the van, the bond too: where any of it is set to another, what was tested is tested again. */
export function allLandedFacts(circuit: Circuit): Readonly<Record<string, string>> {
  const { awg, lengthM } = circuit.bond;
  return {
    ...landedFacts(circuit)([boxOpened, ...relandedAt(circuit.run)]),
    'bond gauge': gaugeText(awg),
    'bond length': metresText(lengthM),
  };
}

function named(place: string, facts: Record<string, string>): Record<string, string> {
  return Object.fromEntries(Object.entries(facts).map(([label, value]) => [`${place} ${label}`, value]));
}
