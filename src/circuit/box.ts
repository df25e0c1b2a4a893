import { type Circuit, type Outlet, words } from './circuit.js';

/** The box of an outlet, of the breaker or behind the inlet. */
export type Box = Outlet['box'];

/** What a box is made of, and how it holds a cable, in words. */
export function boxText({ material, clamps }: Box): string {
  return `${words.boxMaterial[material]}, ${words.clamps[clamps]}`;
}

/**
 * Whose plastic boxes hold no cable. A cable that ends in one is held nearer to it, whatever the box is for.
 * @source NEC 314.17(C) and 334.30
 */
export function boxesWithoutClamp({ inlet, breaker, run }: Circuit): ('inlet' | 'breaker' | Outlet)[] {
  const all = [
    ['inlet', inlet.box] as const,
    ['breaker', breaker.box] as const,
    ...run.map((o) => [o, o.box] as const),
  ];
  return all.flatMap(([of, box]) => (box?.material === 'plastic' && box.clamps === 'external' ? [of] : []));
}
