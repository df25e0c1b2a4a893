import type { OwnerFacts } from '../trade/owner-sentences.js';
import { allowedSets, whatMayNotRunTogether, whatMayRunTogether } from './allowed-set.js';
import type { Circuit } from './circuit.js';
import { type LoadSet, loadSets, loadSetText } from './load-sets.js';
import { isSameLoad, placedLoads } from './load-sum.js';
import { ampsText, gaugeAreaText, metresText } from './quantity-text.js';

/** The figures of this circuit that the owner's sentences need. */
export function ownerFacts(circuit: Circuit): OwnerFacts {
  return {
    mayRunTogether: whatMayRunTogether(circuit),
    mayNotRunTogether: whatMayNotRunTogether(circuit),
    cord: cordText(circuit),
    breakerAmps: circuit.breaker.amps,
    devicePlace: circuit.run[0]!.place,
  };
}

/** "12 AWG (3.31 mm²), 7.62 m (25 ft), SJTW". */
export function cordText({ cord }: Circuit): string {
  return `${gaugeAreaText(cord.awg)}, ${metresText(cord.lengthM)}, ${cord.typeLetters}`;
}

/** More lines than these nobody keeps in mind; the fullest sets and the smallest overloads come first. */
const mostLines = 4;

/**
 * What may be on at once, a line each: the sets as planned, what the plan keeps apart, and what lies within the ratings all the same, so that
 * nobody takes the breaker for a guard of the plan; without a plan, what the ratings allow and what is too much.
 */
export function runTogetherLines(circuit: Circuit): string[] {
  const { largest, tooMuch } = loadSets(circuit);
  if (largest.length + tooMuch.length === 0) return ['No load was named: the breaker is the only measure.'];
  const beyond = setLines(circuit, 'Too much at once', tooMuch);
  if (circuit.together.length === 0) return [...setLines(circuit, 'May run together', largest), ...beyond];
  const planned = allowedSets(circuit);
  const unplanned = largest.filter(
    ({ loads }) => !planned.some((set) => loads.every((load) => set.loads.some((l) => isSameLoad(l, load)))),
  );
  return [
    ...whatMayRunTogether(circuit).map((line) => `As planned, ${line}`),
    ...whatMayNotRunTogether(circuit).map(
      (line) => `Not together: ${line}. The sheet was worked out for the plan, which keeps them apart.`,
    ),
    ...unplannedLines(circuit, unplanned),
    ...beyond,
  ];
}

/** What the breaker would let pass beyond the plan: everything at once in so many words, else set by set. */
function unplannedLines(circuit: Circuit, sets: readonly LoadSet[]): string[] {
  const [only, another] = sets;
  const word = 'Not planned, though the breaker would not stop it';
  if (only !== undefined && another === undefined && only.loads.length === placedLoads(circuit).length)
    return [`${word}: everything at once, ${ampsText(only.amps)} of ${circuit.breaker.amps} A`];
  return setLines(circuit, word, sets);
}

function setLines(circuit: Circuit, word: string, sets: readonly LoadSet[]): string[] {
  return [
    ...sets.slice(0, mostLines).map((set) => `${word}: ${loadSetText(circuit, set)}`),
    ...(sets.length > mostLines ? [`${word} as well: ${sets.length - mostLines} more sets like these`] : []),
  ];
}
