import { describe, expect, it } from 'vitest';
import type { ElectricalCircuit } from '../../src/meter/electrical-circuit.js';
import type { Fault } from '../../src/meter/fault.js';
import { predict } from '../../src/meter/predict.js';
import type { Test } from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { handheld, van } from './vans.js';

/** The page on circuits, readings and faults, sentence by sentence, where a plain van tells what is meant. */
const shows = (faults: readonly Fault[], tests: readonly Test[], circuit: ElectricalCircuit = van(3)) =>
  predict(circuit, handheld, faults, tests).map((p) =>
    p.kind === 'ohms' ? p.ohms : p.kind === 'volts' ? p.volts : p.kind === 'answer' ? p.answer : p.lamps,
  );
const join = (a: 'hot' | 'neutral', b: 'neutral' | 'ground', where: string, ohms: number) =>
  ({ fault: 'joined', conductors: [a, b], where, ohms }) as Fault;
const holds: Test = { test: 'observation', what: 'supply-holds' };
const resets: Test = { test: 'observation', what: 'gfci-resets' };
const ohms = (from: string, to: string): Test => ({ test: 'resistance', from, to });
const volts = (from: string, to: string): Test => ({ test: 'voltage', from, to });

describe('the supply’s breaker', () => {
  // 0.3 Ω are the supply’s own, 0.08 Ω the cord’s: 75 A are drawn through 1.6 Ω in all.
  const opens = (ohm: number, change: Partial<ElectricalCircuit> = {}) =>
    shows([join('hot', 'neutral', 'inlet', ohm)], [holds], { ...van(3), ...change })[0] === false;

  it('opens at five times the van’s breaker, or the inlet’s where the van has none', () => {
    expect([opens(1.1), opens(1.35)]).toEqual([true, false]);
    expect([opens(1.1, { breaker: { amps: 20 } }), opens(0.7, { breaker: { amps: 20 } })]).toEqual([
      false,
      true,
    ]);
    const inlet = { amps: 30 };
    expect([opens(1.1, { inlet }), opens(1.1, { inlet, breaker: null })]).toEqual([true, false]);
  });

  it('leaves nothing live behind it: no volts, no lamps, no load', () => {
    const load: Test = { test: 'loaded-voltage', from: 'outlet3.hot', to: 'outlet3.neutral', amps: 8 };
    const lamps: Test = { test: 'observation', what: 'three-lamp', at: 'outlet1' };
    expect(
      shows([join('hot', 'neutral', 'inlet', 0.1)], [volts('outlet1.hot', 'outlet1.ground'), lamps, load]),
    ).toEqual([0, { hotNeutral: false, hotGround: false, neutralGround: false }, 0]);
  });
});

describe('a ground-fault device', () => {
  it('falls for neutral and ground that meet at its own face, as behind it', () => {
    for (const where of ['outlet1', 'outlet3'])
      expect([where, ...shows([join('neutral', 'ground', where, 0.5)], [resets])]).toEqual([where, false]);
    expect(shows([], [resets])).toEqual([true]);
  });

  it('holds whatever the contacts of its face have of their own: what flows out through a poor one comes back', () => {
    const contact: Fault = { fault: 'high-resistance', conductor: 'hot', where: 'outlet1', ohms: 2 };
    const load = (k: number): Test => ({
      ...{ test: 'loaded-voltage', from: `outlet${k}.hot`, to: `outlet${k}.neutral` },
      amps: 8,
    });
    const held: Test = { test: 'observation', what: 'holds-under-load', at: 'outlet1', amps: 8 };
    const [at1, at2, holdsThere] = shows([contact], [load(1), load(2), held]);
    const [sound1, sound2] = shows([], [load(1), load(2)]);
    expect(holdsThere).toBe(true);
    // 2 Ω in line with the 15 Ω of the load.
    expect(Number(sound1) - Number(at1)).toBeCloseTo(13.4, 0);
    expect(at2).toBeCloseTo(Number(sound2), 6);
  });

  it('falls below 85 V at LINE, which its own electronics of 30 kΩ load', () => {
    // 120 V less what 30 kΩ draw through a joint: 12.35 kΩ leave 85 V.
    const behind = (ohm: number) =>
      shows([{ fault: 'high-resistance', conductor: 'hot', where: 'feed1', ohms: ohm }], [resets])[0];
    expect([behind(11_000), behind(14_000)]).toEqual([true, false]);
  });

  it('keeps what is at its face from the inlet and from LOAD while it is dead', () => {
    const tests = [
      ohms('inlet.hot', 'inlet.ground'),
      ohms('outlet1.load.hot', 'outlet1.ground'),
      ohms('outlet1.hot', 'outlet1.ground'),
    ];
    expect(shows([join('hot', 'ground', 'outlet1', 5)], tests)).toEqual([null, null, expect.closeTo(5, 1)]);
  });

  it('falls where its own LINE and LOAD are exchanged, and not for another’s', () => {
    const [first, ...behind] = van(3).run;
    const two = {
      ...van(3),
      run: [first!, { ...behind[0]!, device: 'gfci-receptacle' as const }, behind[1]!],
    };
    const reversed: Fault = { fault: 'line-load-reversed', where: 'outlet2' };
    const at = (k: number) => volts(`outlet${k}.hot`, `outlet${k}.neutral`);
    const [one, , three] = shows([reversed], [at(1), at(2), at(3)], two);
    expect(one).toBeGreaterThan(115);
    // The run behind is on LINE, which the feed does not reach while the contacts are open.
    expect(three).toBeLessThan(115);
  });
});

describe('two faults at one place', () => {
  it('that exchange the same two conductors leave them as they were', () => {
    const tests = fullSchedule(van(3));
    const poles: Fault = { fault: 'swapped', conductors: ['hot', 'neutral'], where: 'feed2' };
    const slots: Fault = { fault: 'face-swapped', conductors: ['neutral', 'ground'], where: 'outlet3' };
    expect(shows([poles, slots, poles, slots], tests)).toEqual(shows([], tests));
  });

  it('keep a slot without its screw dead, whichever screw would have served it', () => {
    const exchanged: Fault = { fault: 'face-swapped', conductors: ['hot', 'neutral'], where: 'outlet3' };
    const open: Fault = { fault: 'face-open', conductor: 'hot', where: 'outlet3' };
    const slots = [ohms('outlet3.hot', 'outlet2.neutral'), ohms('outlet3.neutral', 'outlet2.hot')];
    expect(shows([exchanged, open], slots)).toEqual([null, expect.closeTo(0.017, 2)]);
  });
});

describe('ohms add up', () => {
  it('of a supply’s own way and a joint in it, hot and neutral together: for every reading it is a longer way', () => {
    const tests = fullSchedule(van(3));
    const joint: Fault = { fault: 'high-resistance', where: 'supply', ohms: 1.5 };
    const longer = { ...van(3), supply: { volts: 120, loopOhms: 0.3 + 1.5 } };
    const rounded = (all: readonly unknown[]) =>
      all.map((value) => (typeof value === 'number' ? Number(value.toFixed(6)) : value));
    expect(rounded(shows([joint], tests))).toEqual(rounded(shows([], tests, longer)));
  });

  it('of a poor bond its own and the joint’s, of a ground one splice for each outlet on the way', () => {
    const bond: Fault = { fault: 'high-resistance', where: 'bond', ohms: 3 };
    const [sound, poor] = [[], [bond]].map((f) => shows(f, [ohms('inlet.ground', 'chassis')])[0] as number);
    expect(poor! - sound!).toBeCloseTo(3, 6);
    const way = (from: string, conductor: string) => {
      const at = (k: number) => ohms(`${from}.${conductor}`, `outlet${k}.${conductor}`);
      const [second, third] = shows([], [at(2), at(3)]) as number[];
      return third! - second!;
    };
    // 2 m of 12 AWG with its lay are 10.6 mΩ at 20 °C, its two ends 4 mΩ, the splice that it leaves from 1 mΩ.
    expect(way('inlet', 'ground')).toBeCloseTo(0.0156, 4);
    expect(way('outlet1.load', 'hot')).toBeCloseTo(0.0156, 4);
  });

  it('of the cord alone its copper from end to end, whatever the van does', () => {
    expect(
      shows(
        [join('hot', 'neutral', 'inlet', 0.1)],
        [ohms('plug.hot', 'connector.hot'), ohms('plug.hot', 'plug.neutral')],
      ),
    ).toEqual([expect.closeTo(0.042, 2), null]);
  });
});

it('a load is so many ohms: where the supply’s own volts were read, all volts under it follow those', () => {
  const tests = [8, 12].map(
    (amps): Test => ({
      ...{ test: 'loaded-voltage', from: 'outlet3.hot', to: 'outlet3.neutral' },
      amps,
    }),
  );
  const read = { ...van(3), supply: { volts: 108, nominalVolts: 120, loopOhms: 0.3 } };
  const [asRead, nominal] = [shows([], tests, read), shows([], tests)] as number[][];
  for (const [k, shown] of asRead!.entries()) expect(shown).toBeCloseTo((nominal![k]! * 108) / 120, 9);
});

it('the supply’s slots and the earth are touched by nothing while the cord is away', () => {
  expect(shows([], [ohms('supply.hot', 'connector.hot'), ohms('chassis', 'earth')])).toEqual([null, null]);
});

it('two loads at one outlet each draw their own drop', () => {
  const load = (amps: number): Test => ({
    ...{ test: 'loaded-voltage', from: 'outlet3.hot', to: 'outlet3.neutral' },
    amps,
  });
  const [eight, twelve] = shows([], [load(8), load(12)]) as number[];
  expect(120 - twelve!).toBeCloseTo(1.5 * (120 - eight!), 0);
  expect(eight! - twelve!).toBeGreaterThan(1);
});
