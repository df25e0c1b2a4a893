import { allowedSetWith, apartTexts } from './allowed-set.js';
import type { Circuit } from './circuit.js';
import { loadSetOf } from './load-sets.js';
import { countedAmps, loadSum, type PlacedLoad, placedLoads } from './load-sum.js';
import { ampsText, listText } from './quantity-text.js';

/** What loads that somebody would turn on together ask of the circuit. */
export interface TriedLoads {
  readonly loads: readonly PlacedLoad[];
  /** Their sum, A. */
  readonly amps: number;
  /** What the breaker is held to, A: more than the sum where a load is on for three hours and more. */
  readonly countedAmps: number;
  /** `none` where nothing is on; `apart` where the ratings carry them and the plan does not have them together. */
  readonly answer: 'none' | 'carried' | 'apart' | 'too-much';
  /** One sentence each: the sum, what the circuit carries, what the plan says. */
  readonly sentences: readonly string[];
}

/** A load by its place: the outlet's identity and the load's number there, from 0. */
export function loadKeys(circuit: Circuit): { readonly key: string; readonly placed: PlacedLoad }[] {
  const placed = placedLoads(circuit);
  return circuit.run
    .flatMap((o) => o.loads.map((_, k) => `${o.id}.${k}`))
    .map((key, k) => ({ key, placed: placed[k]! }));
}

/** The sum of the loads with these keys against the ratings and against the plan; a key that names no load is left out. */
export function tryLoads(circuit: Circuit, on: readonly string[]): TriedLoads {
  const loads = loadKeys(circuit)
    .filter(({ key }) => on.includes(key))
    .map(({ placed }) => placed);
  const { amps, over } = loadSetOf(circuit, loads);
  const counted = countedAmps(loadSum(loads));
  const rating = `${circuit.breaker.amps} A`;
  if (loads.length === 0)
    return {
      loads,
      amps,
      countedAmps: counted,
      answer: 'none',
      sentences: [`Nothing is on: 0 A of ${rating}.`],
    };
  const apart = apartTexts(circuit, loads);
  const planned = allowedSetWith(circuit, loads);
  const names = listText(loads.map((p) => p.load.name));
  return {
    loads,
    amps,
    countedAmps: counted,
    answer: over.length > 0 ? 'too-much' : planned === undefined ? 'apart' : 'carried',
    sentences: [
      `On: ${names}, ${ampsText(amps)} of ${rating}.`,
      ...(counted > amps
        ? [`What is on for three hours and more counts a quarter more: ${ampsText(counted)}.`]
        : []),
      over.length > 0
        ? `Too much at once: ${listText([...over])}.`
        : 'Within the breaker, every receptacle, and the rules for long and for fastened loads.',
      planText(circuit, apart, planned?.name),
    ],
  };
}

function planText(circuit: Circuit, apart: readonly string[], planned: string | undefined): string {
  if (circuit.together.length === 0) return 'The plan keeps nothing apart.';
  if (planned !== undefined) return `The plan has this: ${planned}.`;
  if (apart.length === 0) return 'The plan has no set with all of these.';
  return `The plan keeps apart: ${apart.join('; ')}.`;
}
