import type { OwnerFacts } from '../trade/owner-sentences.js';
import { whatMayNotRunTogether, whatMayRunTogether } from './allowed-set.js';
import type { Circuit } from './circuit.js';
import { type LoadSet, loadSets, loadSetText } from './load-sets.js';
import { gaugeText, metresText } from './quantity-text.js';

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

/** "12 AWG, 7.62 m (25 ft), SJTW". */
export function cordText({ cord }: Circuit): string {
  return `${gaugeText(cord.awg)}, ${metresText(cord.lengthM)}, ${cord.typeLetters}`;
}

/** More lines than these nobody keeps in mind; the fullest sets and the smallest overloads come first. */
const mostLines = 4;

/** What may be on at once, a line each: the sets as planned, what the plan keeps apart, what the circuit carries, what is too much. */
export function runTogetherLines(circuit: Circuit): string[] {
  const { largest, tooMuch } = loadSets(circuit);
  if (largest.length + tooMuch.length === 0) return ['No load was named: the breaker is the only measure.'];
  const lines = (word: string, sets: readonly LoadSet[]) => [
    ...sets.slice(0, mostLines).map((set) => `${word}: ${loadSetText(circuit, set)}`),
    ...(sets.length > mostLines ? [`${word} as well: ${sets.length - mostLines} more sets like these`] : []),
  ];
  const planned = circuit.together.length > 0;
  return [
    ...(planned ? whatMayRunTogether(circuit).map((line) => `Planned: ${line}`) : []),
    ...(planned ? whatMayNotRunTogether(circuit).map((line) => `Kept apart by the plan: ${line}`) : []),
    ...lines('The circuit carries', largest),
    ...lines('Too much at once', tooMuch),
  ];
}
