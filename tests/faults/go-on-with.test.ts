import { describe, expect, it } from 'vitest';
import { catalogue } from '../../src/faults/catalogue.js';
import { diagnose } from '../../src/faults/diagnose.js';
import { firstOfAll, skinVerdict } from '../../src/faults/first-of-all.js';
import { goOnWith } from '../../src/faults/go-on-with.js';
import type { Fault } from '../../src/meter/fault.js';
import type { Reading, ReadingsFile, Test } from '../../src/meter/readings-file.js';
import { van } from '../meter/vans.js';
import { shownBy } from './shown-by.js';

/** A fitter who starts with nothing and takes whatever is asked next of a van with these faults, until nothing is. */
function session(truth: readonly Fault[], circuit = van(2)): Reading[] {
  let file: ReadingsFile = shownBy(truth, { circuit, tests: [] });
  for (;;) {
    const next = goOnWith(file, diagnose(file));
    if (next === null) return [...file.readings];
    const { readings } = shownBy(truth, { circuit, tests: [next] });
    file = { ...file, readings: [...file.readings, ...readings] };
  }
}

const isLive = (r: Reading) => r.test !== 'resistance';
const isAct = (what: string) => (r: Reading) => r.test === 'observation' && r.what === what;
const isSkin = (r: Reading) => r.test === 'voltage' && r.from === 'chassis' && r.to === 'earth';
const isLoad = (r: Reading) => 'amps' in r;
const inVan = (r: Reading) => isLive(r) && !isSkin(r) && !('from' in r && r.from.startsWith('supply'));

describe('who starts with nothing', () => {
  it('is led through the dead readings, the skin, supply and device before a load, in a van without a fault', () => {
    const taken = session([]);
    const at = (is: (r: Reading) => boolean) => taken.findIndex(is);
    expect(taken.slice(at(isLive)).every(isLive)).toBe(true);
    expect(at(isLive)).toBe(19);
    const order = [at(isSkin), at(isAct('supply-holds')), at(isAct('gfci-resets')), at(isLoad)];
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(order[0]).toBe(at(isLive));
  });

  // Without this order 294 of the 1,130 readings asked of 125 vans touched the live van before its skin was read: each first was a load.
  it('is asked for nothing live that the readings before it speak against, whatever the one fault is', {
    timeout: 120_000,
  }, () => {
    for (const { fault } of catalogue(van(2))) {
      const truth = ['ohms' in fault ? { ...fault, ohms: 2 } : fault];
      const taken = session(truth);
      const { limits } = diagnose({ ...shownBy(truth, { circuit: van(2), tests: [] }), readings: taken });
      const deadFails = limits.some(
        (l) => l.verdict === 'fail' && ['ground-path', 'bond', 'isolation', 'cord'].includes(l.rule),
      );
      expect({ truth, live: deadFails && taken.some(isLive) }).toEqual({ truth, live: false });
      const skin = taken.findIndex(isSkin);
      const early = taken.filter((r, i) => inVan(r) && (skin < 0 || i < skin));
      expect({ truth, early }).toEqual({ truth, early: [] });
    }
  });
});

describe('what comes first', () => {
  const cordOut = /^Leave the cord out/;
  const said = (file: ReadingsFile) => firstOfAll(file, diagnose(file));
  const dead = (truth: readonly Fault[]): ReadingsFile => {
    const { readings, ...file } = shownBy(truth);
    return { ...file, readings: readings.filter((r) => !isLive(r)) };
  };

  it('is to leave the cord out where a dead reading fails, and nothing live is asked for', () => {
    const faults: Fault[] = [
      { fault: 'joined', conductors: ['hot', 'ground'], where: 'inlet', ohms: 100_000 },
      { fault: 'joined', conductors: ['hot', 'neutral'], where: 'outlet3' },
      { fault: 'open', conductor: 'ground', where: 'feed2' },
      { fault: 'open', where: 'bond' },
      { fault: 'swapped', conductors: ['hot', 'neutral'], where: 'feed2' },
      { fault: 'open', conductor: 'ground', where: 'cord' },
    ];
    for (const fault of faults) {
      const file = dead([fault]);
      const next = goOnWith(file, diagnose(file));
      expect({ fault, first: said(file), live: next !== null && next.test !== 'resistance' }).toEqual({
        fault,
        first: expect.stringMatching(cordOut),
        live: false,
      });
    }
    expect(said(dead([]))).toBeUndefined();
  });

  it('is to leave the cord out where it leads from one pin to another, though each is through', () => {
    const file = dead([]);
    const across: Reading = { test: 'resistance', from: 'plug.hot', to: 'connector.ground', ohms: 0.2 };
    expect(said({ ...file, readings: [...file.readings, across] })).toMatch(cordOut);
  });

  it('is to unplug where a live reading fails that no dead one shows', () => {
    const unplug = 'Unplug at the supply before anything is touched or opened.';
    expect(said(shownBy([{ fault: 'face-open', conductor: 'neutral', where: 'outlet1' }]))).toBe(unplug);
    const sound = shownBy([]);
    for (const at of ['outlet1', 'outlet3']) {
      const readings = sound.readings.map((r) =>
        r.test === 'observation' && r.what === 'dead-when-tripped' && r.at === at
          ? { ...r, answer: false }
          : r,
      );
      expect({ at, first: said({ ...sound, readings }) }).toEqual({ at, first: unplug });
    }
  });

  it('is what the worst reading of the skin asks, whichever was taken first', () => {
    const at = (...all: number[]) =>
      skinVerdict({
        ...shownBy([]),
        readings: all.map((volts) => ({ test: 'voltage', from: 'chassis', to: 'earth', volts })),
      });
    for (const [worst, ...all] of [
      ['pass', 0, 1],
      ['unproven', 0, 5],
      ['fail', 0, 5, 60],
    ] as [string, ...number[]][])
      expect([at(...all), at(...all.reverse())]).toEqual([worst, worst]);
  });

  it('is to read chassis to earth again where a coarse meter cannot prove it, and nothing in the van until then', () => {
    const sound = shownBy([]);
    const meter = { ...sound.meter, volts: { percent: 2.5, counts: 5, resolution: 1 } };
    const skin: Reading = { test: 'voltage', from: 'chassis', to: 'earth', volts: 1 };
    const file = { ...dead([]), meter, readings: [...dead([]).readings, skin] };
    expect(said(file)).toMatch(/^Touch no metal of the van: .*Read it again with a finer meter/);
    expect(goOnWith(file, diagnose(file))).toBeNull();
    const fine = { ...file, meter: sound.meter, readings: [...dead([]).readings, { ...skin, volts: 0.2 }] };
    expect(goOnWith(fine, diagnose(fine))).toEqual({
      test: 'observation',
      what: 'supply-holds',
    });
  });

  it('is no load through a joint of more than an ohm', () => {
    const truth = (ohms: number): Fault[] => [
      { fault: 'high-resistance', conductor: 'hot', where: 'feed3', ohms },
    ];
    const loads = (ohms: number) => session(truth(ohms), van(3)).filter(isLoad);
    expect(loads(2)).toEqual([]);
    expect(loads(0.3).length).toBeGreaterThan(0);
  });

  it('is no load while anything else than a small joint is suspected', () => {
    const file = shownBy([]);
    const load: Test = { test: 'loaded-voltage', from: 'outlet3.hot', to: 'outlet3.neutral', amps: 8 };
    const answer = { ...diagnose(file), nextReading: load };
    const joint = (ohms: number): Fault => ({
      fault: 'high-resistance',
      conductor: 'hot',
      where: 'feed3',
      ohms,
    });
    const join: Fault = { fault: 'joined', conductors: ['neutral', 'ground'], where: 'outlet3', ohms: 0.01 };
    const isAsked = (...faults: Fault[]) => {
      const suspect = { faults, probability: 1, text: '', lookAt: '', reason: '' };
      return goOnWith(file, { ...answer, suspects: [suspect] }) === load;
    };
    expect([isAsked(joint(0.5)), isAsked(joint(0.5), joint(0.9))]).toEqual([true, true]);
    for (const faults of [[join], [joint(0.5), join], [joint(1)], [joint(0.5), joint(3)]])
      expect({ faults, asked: isAsked(...faults) }).toEqual({ faults, asked: false });
  });
});
