import { describe, expect, it } from 'vitest';
import type { Fault } from '../../src/meter/fault.js';
import { layOut } from '../../src/meter/layout.js';
import { distinctPostures, type Posture, posturesOf, withFallsUnderLoad } from '../../src/meter/postures.js';
import { van } from './vans.js';

const stands = (faults: readonly Fault[], ohm?: number, circuit = van(3)) => {
  const loads = ohm === undefined ? [] : [{ outlet: 3, ohm }];
  return posturesOf(layOut(circuit), faults, loads).postures;
};
const leak = (where: 'outlet1' | 'outlet3', ohms: number): Fault => ({
  fault: 'joined',
  conductors: ['hot', 'ground'],
  where,
  ohms,
});
const exchanged = (kind: 'swapped' | 'face-swapped', where: 'feed2' | 'outlet3') =>
  ({ fault: kind, conductors: ['hot', 'ground'], where }) as Fault;
/** Some 8 A. */
const heater = 15;

describe('where a device may stand either way', () => {
  it('it is said both ways, and of whether it resets nothing: latched without volts ahead of it', () => {
    const [own, other, ...more] = stands([{ fault: 'open', conductor: 'neutral', where: 'cord' }]);
    expect([own?.resets, own?.contacts[0]]).toEqual([0, false]);
    expect([other?.resets, other?.contacts[0]]).toEqual([Number.NaN, true]);
    expect(more).toEqual([]);
  });

  // 30 kΩ of its own behind 90 kΩ leave 30 V, which no device is latched by and no supply lifts to 85.
  it('and not where too few volts are there for it on any supply', () => {
    const weak: Fault = { fault: 'high-resistance', conductor: 'hot', where: 'cord', ohms: 90_000 };
    expect(stands([weak]).map((p) => [p.resets, p.contacts[0]])).toEqual([[0, false]]);
  });

  // 5.2 mA and 4.8 mA at 120 V; 9 mA and 3 mA stay on their side of 5 mA from 104 V to 132 V.
  it.each([
    [23_000, [0, Number.NaN]],
    [25_000, [1, Number.NaN]],
    [13_000, [0]],
    [40_000, [1]],
  ])('as some supply or other draws the 5 mA through a leak of %s Ω, or none does', (ohms, resets) => {
    expect(stands([leak('outlet3', ohms)]).map((p) => p.resets)).toEqual(resets);
  });

  // 10 Ω ahead of it leave 71 V under the load, and all of them without.
  it('it may ride out the load that pulls its volts down', () => {
    const joint: Fault = { fault: 'high-resistance', conductor: 'hot', where: 'feed1', ohms: 10 };
    const [own, other] = stands([joint], heater);
    expect([own?.resets, own?.loaded[0]?.holds, own?.loaded[0]?.contacts[0]]).toEqual([1, 0, false]);
    expect([other?.resets, other?.loaded[0]?.holds, other?.loaded[0]?.contacts[0]]).toEqual([
      1,
      Number.NaN,
      true,
    ]);
  });

  // Hot and ground exchanged behind it: the heater lies from neutral to ground, and a supply whose neutral is lifted drives it.
  it.each([exchanged('swapped', 'feed2'), exchanged('face-swapped', 'outlet3')])(
    'it may fall by what a load lets through from neutral to ground: %o',
    (fault) => {
      expect(stands([fault])).toHaveLength(1);
      expect(stands([fault], heater).map((p) => p.loaded[0]?.holds)).toEqual([1, Number.NaN]);
    },
  );

  it('another one stands as it stands', () => {
    const [first, second, third] = van(3).run;
    const two = { ...van(3), run: [first!, { ...second!, device: 'gfci-receptacle' as const }, third!] };
    const reversed: Fault = { fault: 'line-load-reversed', where: 'outlet2' };
    const both = stands([leak('outlet1', 25_000), reversed], undefined, two);
    expect(both.map((p) => p.contacts)).toEqual([
      [true, false, true],
      [false, false, true],
    ]);
  });
});

describe('the supply’s breaker', () => {
  // 75 A are five times its 15 A; 1.35 Ω and the way there take some 69 A at 120 V, and 76 A at 132 V.
  it('is asked with the volts that the supply may have', () => {
    const path: Fault = { fault: 'joined', conductors: ['hot', 'neutral'], where: 'inlet', ohms: 1.35 };
    const holdsAt = (share: number) =>
      posturesOf(layOut(van(3)), [path], [], share).postures[0]?.breakerHolds;
    expect([holdsAt(104 / 120), holdsAt(1), holdsAt(132 / 120)]).toEqual([true, true, false]);
  });

  const standing = (breakerHolds: boolean, underLoad: boolean): Posture => ({
    breakerHolds,
    resets: Number(breakerHolds),
    contacts: [breakerHolds],
    loaded: [{ breakerHolds: underLoad, holds: Number(underLoad), contacts: [underLoad] }],
  });
  const fallen = { breakerHolds: false, holds: 0 };

  it('may open under the load alone wherever it may open', () => {
    for (const opens of [standing(false, false), standing(true, false)]) {
      const all = withFallsUnderLoad([standing(true, true), opens]);
      expect(all).toHaveLength(4);
      expect(all[2]).toMatchObject({ breakerHolds: true, loaded: [fallen] });
    }
    const holding = [standing(true, true)];
    expect(withFallsUnderLoad(holding)).toEqual(holding);
  });

  it('each way to stand is looked at once', () => {
    const all = [standing(true, true), standing(true, false), standing(true, true), standing(false, false)];
    expect(distinctPostures(all)).toHaveLength(3);
  });
});
