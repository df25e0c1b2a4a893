import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import { goOnWith } from '../../src/faults/go-on-with.js';
import type { Fault } from '../../src/meter/fault.js';
import type { Reading, ReadingsFile, Test } from '../../src/meter/readings-file.js';
import { van } from '../meter/vans.js';
import { shownBy } from './shown-by.js';

const volts = (from: string, to: string): Test => ({ test: 'voltage', from, to });
const act = (what: 'supply-holds' | 'gfci-resets'): Test => ({ test: 'observation', what });
const skin = volts('chassis', 'earth');
const slot = volts('outlet2.hot', 'outlet2.neutral');
const supply = volts('supply.hot', 'supply.neutral');
const trip: Test = { test: 'observation', what: 'dead-when-tripped', at: 'outlet2' };
const load: Test = { test: 'loaded-voltage', from: 'outlet2.hot', to: 'outlet2.neutral', amps: 8 };
const underLoad: Test = { test: 'observation', what: 'holds-under-load', at: 'outlet2', amps: 8 };

const whole = shownBy([], { circuit: van(2) });
const isDead = (r: Reading) => r.test === 'resistance';
const isOf = (test: Test) => (r: Reading) =>
  Object.entries(test).every(([key, value]) => (r as Record<string, unknown>)[key] === value);
/** The round of a sound van up to these live readings, which show what they should. */
function upTo(...live: Test[]): ReadingsFile {
  return { ...whole, readings: whole.readings.filter((r) => isDead(r) || live.some((t) => isOf(t)(r))) };
}
const instead = (file: ReadingsFile, test: Test, shows: object): ReadingsFile => ({
  ...file,
  readings: file.readings.map((r) => (isOf(test)(r) ? ({ ...r, ...shows } as Reading) : r)),
});
const without = (file: ReadingsFile, test: Test): ReadingsFile => ({
  ...file,
  readings: file.readings.filter((r) => !isOf(test)(r)),
});
/** Whether a reading may be taken next, were it the one that is asked. */
const may = (file: ReadingsFile, test: Test) =>
  goOnWith(file, { ...diagnose(file), nextReading: test, suspects: [] }) === test;

const started = [skin, act('supply-holds'), act('gfci-resets')];
const three = [slot, volts('outlet2.hot', 'outlet2.ground'), volts('outlet2.neutral', 'outlet2.ground')];

describe('nothing live is asked for', () => {
  it('before every dead reading of the round was taken', () => {
    expect(may(upTo(), skin)).toBe(true);
    for (const one of whole.readings.filter(isDead))
      expect({ one, may: may(without(upTo(), one), skin) }).toEqual({ one, may: false });
    expect(may(without(upTo(), whole.readings[0]!), whole.readings[0]!)).toBe(true);
  });

  it('where a dead reading fails', () => {
    const bond: Fault = { fault: 'open', where: 'bond' };
    const failed = shownBy([bond], { circuit: van(2) });
    expect(may({ ...failed, readings: failed.readings.filter(isDead) }, skin)).toBe(false);
  });

  it('where the skin is live, nor where more volts stand than a supply may have: at the supply neither', () => {
    expect(may(upTo(skin), supply)).toBe(true);
    expect(may(instead(upTo(skin), skin, { volts: 60 }), supply)).toBe(false);
    const high: Reading = { test: 'voltage', from: 'supply.hot', to: 'supply.neutral', volts: 150 };
    const over = { ...upTo(skin), readings: [...upTo(skin).readings, high] };
    expect(may(over, volts('supply.hot', 'supply.ground'))).toBe(false);
  });
});

describe('nothing in the van is asked for', () => {
  it('before its skin is proven to stand low, though one probe lies outside', () => {
    for (const test of [act('supply-holds'), slot, volts('chassis', 'outlet2.neutral')]) {
      expect({ test, may: may(upTo(), test) }).toEqual({ test, may: false });
    }
    expect(may(upTo(), supply)).toBe(true);
  });

  it('before the supply holds and the device was set', () => {
    const [, holds, resets] = started as [Test, Test, Test];
    expect(may(upTo(skin), holds)).toBe(true);
    expect([may(upTo(skin), resets), may(upTo(skin, resets), slot)]).toEqual([false, false]);
    expect(may(instead(upTo(...started), holds, { answer: false }), slot)).toBe(false);
    expect([may(upTo(skin, holds), resets), may(upTo(skin, holds), slot)]).toEqual([true, false]);
    expect(may(upTo(...started), slot)).toBe(true);
  });

  it('of TEST or a load where the device does not reset', () => {
    const fell = instead(upTo(...started, ...three), act('gfci-resets'), { answer: false });
    for (const test of [trip, load, underLoad]) {
      expect({ test, may: may(fell, test) }).toEqual({ test, may: false });
      expect({ test, may: may(upTo(...started, ...three), test) }).toEqual({ test, may: true });
    }
    expect(may(fell, volts('outlet1.hot', 'outlet1.neutral'))).toBe(true);
  });

  it('with a load before the three voltages of its outlet were read, nor where they are wrong', () => {
    for (const test of [load, underLoad]) {
      for (const one of three)
        expect(may(upTo(...started, ...three.filter((t) => t !== one)), test)).toBe(false);
      expect(may(instead(upTo(...started, ...three), three[1]!, { volts: 0 }), test)).toBe(false);
    }
  });
});

it('goes on with the first reading of the round that may be taken, where the one that is asked may not', () => {
  const file = upTo();
  const answer = { ...diagnose(file), nextReading: slot, suspects: [] };
  expect(goOnWith(file, answer)).toEqual(skin);
});
