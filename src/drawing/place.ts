import type { Circuit } from '../circuit/circuit.js';

/** The three conductors, in the order in which every drawing shows them. */
export const conductors = ['hot', 'neutral', 'ground'] as const;
export type Conductor = (typeof conductors)[number];

/** A length of conductors between two terminations. The feed of the first outlet passes through the breaker. */
export type Segment = 'cord' | 'bond' | `feed:${string}`;

/** A part of the circuit that a drawing can point at; outlets are named by identity, not by number. */
export type Place = 'supply' | 'cord' | 'inlet' | 'breaker' | 'bond' | `feed:${string}` | `outlet:${string}`;

/** Every place of the circuit, from the supply to the last outlet. */
export function placesOf(circuit: Circuit): Place[] {
  const run = circuit.run.flatMap((o): Place[] => [`feed:${o.id}`, `outlet:${o.id}`]);
  const [firstFeed, ...rest] = run;
  return ['supply', 'cord', 'inlet', 'bond', ...(firstFeed ? [firstFeed] : []), 'breaker', ...rest];
}

/** Every segment of the circuit: cord, bond, one feed an outlet. */
export function segmentsOf(circuit: Circuit): Segment[] {
  return ['cord', 'bond', ...circuit.run.map((o): Segment => `feed:${o.id}`)];
}

/** The conductors that run along a segment: the bond is a ground alone. */
export function conductorsOf(segment: Segment): readonly Conductor[] {
  return segment === 'bond' ? ['ground'] : conductors;
}

/** Reads a place as it is written in an address or an entry; undefined where this circuit has no such place. */
export function parsePlace(text: string, circuit: Circuit): Place | undefined {
  return placesOf(circuit).find((place) => place === text);
}
