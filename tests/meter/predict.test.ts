import { describe, expect, it } from 'vitest';
import type { Fault } from '../../src/meter/fault.js';
import { predict } from '../../src/meter/predict.js';
import type { Test } from '../../src/meter/readings-file.js';
import { conditionsShowing } from '../../src/trade/lamp-patterns.js';
import { handheld, lowImpedance, van } from './vans.js';

const volts = (from: string, to: string): Test => ({ test: 'voltage', from, to });
const ohms = (from: string, to: string): Test => ({ test: 'resistance', from, to });
const resets: Test = { test: 'observation', what: 'gfci-resets' };
const one = (faults: Fault[], test: Test, meter = handheld) => predict(van(2), meter, faults, [test])[0]!;

describe('what the meter shows', () => {
  it('is the conductor’s copper, its lay and its two ends', () => {
    // 3 m of 12 AWG (5.211 mΩ/m by ASTM B258 and IEC 60028) × 1.02 + 4 mΩ, and the breaker's contact.
    expect(one([], ohms('inlet.hot', 'outlet1.line.hot'))).toMatchObject({
      ohms: expect.closeTo(0.02095, 4),
    });
  });

  it('is the cable from the inlet to the breaker as well, where it is one of its own', () => {
    // 0.6 m of 10 AWG (3.277 mΩ/m by ASTM B258 and IEC 60028) × 1.02 + 4 mΩ more than without it.
    const test = ohms('inlet.hot', 'outlet1.line.hot');
    const inletWire = { awg: 10, lengthM: 0.6 };
    const [without, withIt] = [van(2), { ...van(2), inletWire }].map(
      (circuit) => predict(circuit, handheld, [], [test])[0] as { ohms: number },
    );
    expect((withIt?.ohms ?? 0) - (without?.ohms ?? 0)).toBeCloseTo(0.6 * 0.003277 * 1.02 + 0.004, 5);
  });

  it('is over-limit between conductors, and through a device that was never powered', () => {
    expect(one([], ohms('inlet.hot', 'inlet.ground'))).toEqual({ kind: 'ohms', ohms: null });
    expect(one([], ohms('inlet.hot', 'outlet2.hot'))).toEqual({ kind: 'ohms', ohms: null });
  });

  it('is a ghost where a conductor is open, and nothing there on a low-impedance range', () => {
    const open: Fault[] = [{ fault: 'open', conductor: 'ground', where: 'feed2' }];
    const ghost = one(open, volts('outlet2.hot', 'outlet2.ground'));
    expect(ghost).toMatchObject({ floating: true });
    expect(one(open, volts('outlet2.hot', 'outlet2.ground'), lowImpedance)).toMatchObject({
      floating: false,
      volts: expect.closeTo(0, 3),
    });
    const pulled = { ...volts('outlet2.hot', 'outlet2.ground'), inputOhms: 3000 };
    expect(one(open, pulled)).toMatchObject({ floating: false, volts: expect.closeTo(0, 3) });
  });

  // 120 V behind the cord alone, with a meter of 10 MΩ: nothing of the van can pull them down. An open pole floats there.
  it('is the supply’s own volts at the cord’s free end, whatever the van behind it does', () => {
    const end = (fault: Fault, other: string) => one([fault], volts('connector.hot', `connector.${other}`));
    const short: Fault = { fault: 'joined', conductors: ['hot', 'neutral'], where: 'inlet' };
    const right = { floating: false, volts: expect.closeTo(120, 2) };
    expect(end(short, 'neutral')).toMatchObject(right);
    const lost: Fault = { fault: 'open', conductor: 'neutral', where: 'cord' };
    expect(end(lost, 'neutral')).toMatchObject({ floating: true });
    expect(end(lost, 'ground')).toMatchObject(right);
    const inVan: Fault = { fault: 'open', conductor: 'neutral', where: 'feed1' };
    expect(end(inVan, 'neutral')).toMatchObject(right);
  });

  it('reads right between all slots of a reversed bootleg supply while the skin is at the supply’s volts', () => {
    const bootleg: Fault[] = [{ fault: 'bootleg-reversed', where: 'supply' }];
    const [hn, hg, ng, skin] = predict(van(2), handheld, bootleg, [
      volts('outlet2.hot', 'outlet2.neutral'),
      volts('outlet2.hot', 'outlet2.ground'),
      volts('outlet2.neutral', 'outlet2.ground'),
      volts('chassis', 'earth'),
    ]);
    expect(hn).toMatchObject({ volts: expect.closeTo(120, 1) });
    expect(hg).toMatchObject({ volts: expect.closeTo(120, 1) });
    expect(ng).toMatchObject({ volts: expect.closeTo(0, 1) });
    expect(skin).toMatchObject({ volts: expect.closeTo(120, 1) });
  });

  it.each<[string, Fault, boolean]>([
    ['3.9 Ω from neutral to ground behind it', join('neutral', 'ground', 3.7), false],
    ['4.4 Ω from neutral to ground behind it', join('neutral', 'ground', 4.4), true],
    ['23 kΩ from hot to ground behind it', join('hot', 'ground', 22_000), false],
    ['27 kΩ from hot to ground behind it', join('hot', 'ground', 27_000), true],
    ['LINE and LOAD reversed', { fault: 'line-load-reversed', where: 'outlet1' }, false],
    ['hot open ahead of it', { fault: 'open', conductor: 'hot', where: 'cord' }, false],
    [
      'neutral joined to ground ahead of it',
      { fault: 'joined', conductors: ['neutral', 'ground'], where: 'inlet' },
      true,
    ],
  ])('has the device stand right with %s', (_, fault, answer) => {
    expect(one([fault], resets)).toEqual({ kind: 'answer', answer });
  });

  it('has the device fall whichever way a leak runs: from a ground that is live into a hot that is not, as well', () => {
    const bootleg: Fault = { fault: 'bootleg-reversed', where: 'supply' };
    expect(one([bootleg], resets)).toEqual({ kind: 'answer', answer: true });
    expect(one([bootleg, join('hot', 'ground', 22_000)], resets)).toEqual({ kind: 'answer', answer: false });
    expect(one([bootleg, join('hot', 'ground', 27_000)], resets)).toEqual({ kind: 'answer', answer: true });
  });

  it('opens the supply’s breaker at five times the van’s breaker', () => {
    const holds: Test = { test: 'observation', what: 'supply-holds' };
    expect(one([join('hot', 'neutral', 0.01)], holds)).toEqual({ kind: 'answer', answer: false });
    expect(one([join('hot', 'neutral', 20)], holds)).toEqual({ kind: 'answer', answer: true });
  });

  it.each<[Fault[], [boolean, boolean, boolean], string]>([
    [[], [true, true, false], 'sound'],
    [[{ fault: 'open', conductor: 'ground', where: 'supply' }], [true, false, false], 'ground-open'],
    [[{ fault: 'open', conductor: 'hot', where: 'feed1' }], [false, false, false], 'hot-open'],
    [
      [{ fault: 'swapped', conductors: ['hot', 'neutral'], where: 'supply' }],
      [true, false, true],
      'hot-neutral-swapped',
    ],
    [
      [{ fault: 'face-swapped', conductors: ['hot', 'ground'], where: 'outlet2' }],
      [false, true, true],
      'hot-ground-swapped',
    ],
    [[{ fault: 'face-open', conductor: 'neutral', where: 'outlet2' }], [false, true, false], 'neutral-open'],
    [
      [{ fault: 'swapped', conductors: ['neutral', 'ground'], where: 'supply' }],
      [true, true, false],
      'neutral-ground-swapped',
    ],
    [[{ fault: 'bootleg-reversed', where: 'supply' }], [true, true, false], 'bootleg-reversed'],
  ])(
    'lights the lamps of the published pattern: %#',
    (faults, [hotNeutral, hotGround, neutralGround], id) => {
      const lamps = { hotNeutral, hotGround, neutralGround };
      expect(one(faults, { test: 'observation', what: 'three-lamp', at: 'outlet2' })).toEqual({
        kind: 'lamps',
        lamps,
      });
      expect(conditionsShowing(lamps).map((row) => row.id)).toContain(id);
    },
  );
});

function join(a: 'hot' | 'neutral', b: 'neutral' | 'ground', ohm: number): Fault {
  return { fault: 'joined', conductors: [a, b], where: 'outlet2', ohms: ohm };
}
