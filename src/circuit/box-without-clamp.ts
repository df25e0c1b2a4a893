import { type Circuit, outletNumber } from './circuit.js';

/**
 * The plastic boxes that hold no cable, by what they are: `inlet`, `breaker`, or an outlet's number. A cable that ends in one is held
 * nearer to it, whatever the box is for. @source NEC 314.17(C) and 334.30
 */
export function boxesWithoutClamp(circuit: Circuit): ('inlet' | 'breaker' | number)[] {
  const { inlet, breaker, run } = circuit;
  const all = [
    { of: 'inlet', box: inlet.box } as const,
    { of: 'breaker', box: breaker.box } as const,
    ...run.map((o) => ({ of: outletNumber(circuit, o.id), box: o.box })),
  ];
  return all.flatMap(({ of, box }) => (box?.material === 'plastic' && box.clamps === 'external' ? [of] : []));
}
