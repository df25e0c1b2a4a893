import { expect, test } from 'vitest';
import { unprotected } from '../../src/faults/unprotected.js';
import type { ElectricalCircuit } from '../../src/meter/electrical-circuit.js';
import { van } from '../meter/vans.js';

/** A run of these sizes behind an inlet and a breaker of these ratings. */
const of = (
  [inlet, breaker]: readonly [number, number | null],
  sizes: readonly number[],
  more: Partial<ElectricalCircuit> = {},
): ElectricalCircuit => ({
  ...van(sizes.length),
  inlet: { amps: inlet },
  breaker: breaker === null ? null : { amps: breaker },
  run: van(sizes.length).run.map((o, k) => ({ ...o, feed: { ...o.feed, awg: sizes[k]! } })),
  ...more,
});

// Caps by NEC 240.4(D): 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A; ahead of the van's breaker the inlet says what may flow.
test.each<[string, ElectricalCircuit, RegExp[]]>([
  ['15 A on 14 AWG', of([15, 15], [14, 14]), []],
  ['20 A on 12 AWG', of([20, 20], [12, 12]), []],
  ['no breaker', of([15, null], [14]), [/no breaker in the van/]],
  ['20 A on 14 AWG behind 12', of([20, 20], [12, 14]), [/larger than the 15 A that 14 AWG/]],
  ['a breaker larger than the inlet', of([15, 20], [12]), [/larger than the inlet’s 15 A/]],
  [
    '12 AWG from a 30 A inlet',
    of([30, 20], [12]),
    [/^Between the inlet and the breaker 12 AWG may stand behind 20 A/],
  ],
  ['10 AWG of its own from a 30 A inlet', of([30, 20], [12], { inletWire: { awg: 10, lengthM: 0.6 } }), []],
  [
    '14 AWG of its own from a 20 A inlet',
    of([20, 20], [12], { inletWire: { awg: 14, lengthM: 0.6 } }),
    [/^Between the inlet and the breaker 14 AWG/],
  ],
  ['16 AWG', of([15, 15], [16]), [/16 AWG is too thin/]],
  [
    '16 AWG of its own ahead of the breaker, thicker behind it',
    of([15, 15], [12], { inletWire: { awg: 16, lengthM: 0.6 } }),
    [/^16 AWG is too thin/],
  ],
  ['16 AWG without a breaker', of([15, null], [16]), [/no breaker in the van/, /16 AWG is too thin/]],
])('%s', (_what, circuit, said) => {
  const lines = unprotected(circuit);
  expect(lines).toHaveLength(said.length);
  for (const [k, pattern] of said.entries()) expect(lines[k]).toMatch(pattern);
});
