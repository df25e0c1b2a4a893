import type { Circuit } from './circuit.js';
import { isSameLoad, type LoadSum, loadSum, type PlacedLoad, placedLoads } from './load-sum.js';
import { ampsText, listText } from './quantity-text.js';

/** Loads that the owner may have on at the same time, with their sums in A. */
export interface AllowedSet extends LoadSum {
  readonly id: string;
  readonly name: string;
  readonly loads: readonly PlacedLoad[];
}

/** The sets named in the circuit and every load outside them alone; without any set, all loads at once. */
export function allowedSets(circuit: Circuit): AllowedSet[] {
  const all = placedLoads(circuit);
  if (all.length === 0) return [];
  if (circuit.together.length === 0) return [summed('all', 'Everything at once', all)];
  const named = circuit.together.map((set) =>
    summed(
      slug(set.name),
      set.name,
      all.filter((p) => set.loads.some((m) => m.outlet === p.outlet && m.load === p.load.name)),
    ),
  );
  const alone = all
    .filter((p) => !named.some((set) => set.loads.includes(p)))
    .map((p) => summed(`alone-${p.outlet}-${slug(p.load.name)}`, `${p.load.name} alone`, [p]));
  return withOwnIds([...named, ...alone]);
}

/** Largest current in A of any allowed set; where no load is named, four fifths of the breaker's rating. */
export function designAmps(circuit: Circuit): number {
  const sets = allowedSets(circuit);
  return sets.length === 0 ? 0.8 * circuit.breaker.amps : Math.max(...sets.map((set) => set.amps));
}

/** For the owner: one line for each set that may be on together. */
export function whatMayRunTogether(circuit: Circuit): string[] {
  return allowedSets(circuit).map((set) => {
    const names = listText(set.loads.map((p) => p.load.name));
    const total = `${ampsText(set.amps)} of ${circuit.breaker.amps} A`;
    return set.name === `${names} alone` ? `${set.name}: ${total}` : `${set.name}: ${names}, ${total}`;
  });
}

/** For the owner: one line for each load that has others it is never on with. */
export function whatMayNotRunTogether(circuit: Circuit): string[] {
  return apartTexts(circuit, placedLoads(circuit));
}

/** Of these loads each that no allowed set has together with others of them: "kettle with heater and press". */
export function apartTexts(circuit: Circuit, loads: readonly PlacedLoad[]): string[] {
  const sets = allowedSets(circuit);
  const apart = (a: PlacedLoad, b: PlacedLoad) => !sets.some((s) => holds(s, a) && holds(s, b));
  return loads.flatMap((a, k) => {
    const others = loads.slice(k + 1).filter((b) => apart(a, b));
    return others.length === 0 ? [] : [`${a.load.name} with ${listText(others.map((b) => b.load.name))}`];
  });
}

/** The allowed set that has all of these loads, where the plan has one. */
export function allowedSetWith(circuit: Circuit, loads: readonly PlacedLoad[]): AllowedSet | undefined {
  return allowedSets(circuit).find((set) => loads.every((p) => holds(set, p)));
}

function summed(id: string, name: string, loads: readonly PlacedLoad[]): AllowedSet {
  return { id, name, loads, ...loadSum(loads) };
}

/** A line of the sheet, and a concession of it, goes by the set's id: what would be that of a set before it gets a number. */
function withOwnIds(sets: readonly AllowedSet[]): AllowedSet[] {
  const taken = new Set<string>();
  return sets.map((set) => {
    let { id } = set;
    for (let n = 2; taken.has(id); n += 1) id = `${set.id}-${n}`;
    taken.add(id);
    return { ...set, id };
  });
}

function slug(name: string): string {
  return (
    name
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, '-')
      .replace(/^-|-$/g, '') || 'set'
  );
}

function holds(set: AllowedSet, p: PlacedLoad): boolean {
  return set.loads.some((q) => isSameLoad(q, p));
}
