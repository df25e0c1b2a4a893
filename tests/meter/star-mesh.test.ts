import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { earthNode, StarMesh, sourceNode } from '../../src/meter/star-mesh.js';

const volts = 120;
const branch = fc.record({
  a: fc.integer({ min: 0, max: 9 }),
  b: fc.integer({ min: 0, max: 9 }),
  ohm: fc.double({ min: -3, max: 6, noNaN: true }).map((e) => 10 ** e),
});

describe('the network', () => {
  it('conserves current at every node', () => {
    fc.assert(
      fc.property(fc.array(branch, { minLength: 1, maxLength: 30 }), (branches) => {
        const real = branches.filter((x) => x.a !== x.b);
        const network = new StarMesh(10);
        network.join(0, sourceNode, 0.15);
        network.join(9, earthNode, 0.15);
        for (const { a, b, ohm } of real) network.join(a, b, ohm);
        const v = network.eliminate().potentials(volts);
        const out = new Float64Array(10);
        const through = new Float64Array(10);
        const flow = (node: number, amps: number) => {
          out[node]! += amps;
          through[node]! += Math.abs(amps);
        };
        flow(0, (v[0]! - volts) / 0.15);
        flow(9, v[9]! / 0.15);
        for (const { a, b, ohm } of real) {
          flow(a, (v[a]! - v[b]!) / ohm);
          flow(b, (v[b]! - v[a]!) / ohm);
        }
        // Potentials carry the last digits of 120 V; across a milliohm those are some 1e-11 A.
        const unbalanced = [...out].filter((amps, node) => Math.abs(amps) > 1e-8 + 1e-9 * through[node]!);
        expect(unbalanced).toEqual([]);
        expect(network.sourceCurrent(volts, v)).toBeCloseTo(v[9]! / 0.15, 6);
      }),
    );
  });

  it('adds resistances in series and conductances side by side', () => {
    const network = new StarMesh(3);
    network.join(0, 1, 2);
    network.join(1, 2, 3);
    network.join(0, 2, 20);
    expect(network.eliminate().resistance(0, 2)).toBeCloseTo(4, 12);
  });

  it('keeps a milliohm exact beside an island, and an island apart', () => {
    const network = new StarMesh(4);
    network.join(0, 1, 0.001);
    network.join(2, 3, 1e6);
    network.eliminate();
    expect(network.resistance(0, 1)).toBeCloseTo(0.001, 12);
    expect(network.resistance(2, 3)).toBeCloseTo(1e6, 3);
    expect(network.resistance(0, 2)).toBeGreaterThan(1e12);
  });
});
