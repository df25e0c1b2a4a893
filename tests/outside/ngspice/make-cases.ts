import type { ElectricalCircuit } from '../../../src/meter/electrical-circuit.js';
import type { Fault } from '../../../src/meter/fault.js';
import type { Meter } from '../../../src/meter/meter.js';
import type { Reading, ReadingsFile, Test } from '../../../src/meter/readings-file.js';
import { type Random, randomFrom } from '../../random-from.js';
import { type Measured, measureAll, type Wanted } from './measure.js';
import type { SetUp } from './netlist.js';
import { randomCircuit, randomFault } from './random-case.js';

export interface MadeCase {
  readonly seed: number;
  readonly truth: readonly Fault[];
  readonly file: ReadingsFile;
  readonly van: Omit<Draft, 'seed' | 'random'>;
}

export const caseMeter: Meter = {
  ohms: { percent: 0.9, counts: 2, resolution: 0.1, overLimit: 40_000_000 },
  volts: { percent: 1, counts: 3, resolution: 0.1 },
  inputOhms: 10_000_000,
};
const loadA = 8;
const strayFarad = 3e-12;

/** How a van stands once its cord is in, found stage by stage as a person would find it. */
export interface Stand {
  readonly breakerHolds: boolean;
  readonly resets: boolean;
  readonly holdsUnderLoad: boolean;
}

interface Draft {
  readonly seed: number;
  readonly random: Random;
  readonly circuit: ElectricalCircuit;
  readonly truth: readonly Fault[];
  readonly breakAt: 'start' | 'end';
}

/** Cases from seeds: a random van with the given number of random faults, read through the whole round with a meter's error. */
export function makeCases(seeds: readonly number[], faults: 0 | 1 | 2): MadeCase[] {
  const drafts = seeds.map((seed): Draft => {
    const random = randomFrom(seed);
    const circuit = randomCircuit(random);
    const truth = distinctFaults(random, circuit, faults);
    return { seed, random, circuit, truth, breakAt: random() < 0.5 ? 'start' : 'end' };
  });
  return readDrafts(drafts);
}

/** One case of a given van with given faults. */
export function makeCase(circuit: ElectricalCircuit, truth: readonly Fault[], seed = 1): MadeCase {
  return readDrafts([{ seed, random: randomFrom(seed), circuit, truth, breakAt: 'start' }])[0]!;
}

function readDrafts(drafts: readonly Draft[]): MadeCase[] {
  const stands = standsOf(drafts);
  const rounds = drafts.map((draft, i) => roundOf(draft, stands[i]!));
  const measured = measureAll(rounds.flat().flatMap((r) => (r.wanted === undefined ? [] : [r.wanted])));
  let next = 0;
  return drafts.map(({ seed, random, circuit, truth, breakAt }, i) => {
    const readings = rounds[i]!.map((r) =>
      r.reading(r.wanted === undefined ? 0 : measured[next++]!.volts, random),
    );
    const file: ReadingsFile = { format: 'inlet-readings/1', circuit, meter: caseMeter, readings };
    return { seed, truth, file, van: { circuit, truth, breakAt } };
  });
}

/** The supply's breaker first, then the device's four questions, unloaded and under load. */
export function standsOf(drafts: readonly Omit<Draft, 'seed' | 'random'>[]): Stand[] {
  const wanted = drafts.flatMap((d): Wanted[] => {
    const last = d.circuit.run.length;
    const live: SetUp = { ...d, faults: d.truth, state: 'live', closed: new Set([1]) };
    const poles = ['1loadhot', '1loadneutral', '1facehot', '1faceneutral'].filter((name) =>
      hasPole(d.truth, name),
    );
    const ask = (setUp: SetUp): Wanted => ({
      setUp,
      between: ['outlet1.line.hot', 'outlet1.line.neutral'],
      currents: ['supply', ...poles],
    });
    const dead = (to: string): Wanted => ({
      setUp: {
        ...live,
        state: 'dead',
        closed: new Set(),
        probe: { from: to, to: 'outlet1.screw.ground', inputOhm: 0 },
      },
      between: [to, 'outlet1.screw.ground'],
    });
    const face = d.truth.some(
      (f) => f.fault === 'face-swapped' && f.where === 'outlet1' && !f.conductors.includes('hot'),
    );
    return [
      ask(live),
      ask({ ...live, load: { outlet: last, ohm: d.circuit.supply.volts / loadA } }),
      dead('outlet1.load.neutral'),
      // With neutral and ground exchanged at the face, its neutral pole is on the ground slot.
      dead(face ? 'outlet1.ground' : 'outlet1.neutral'),
    ];
  });
  const measured = measureAll(wanted);
  return drafts.map(({ circuit, truth }, i) => {
    const [bare, loaded, atLoad, atFace] = measured.slice(4 * i, 4 * i + 4) as [
      Measured,
      Measured,
      Measured,
      Measured,
    ];
    const limitA = 5 * (circuit.breaker?.amps ?? circuit.inlet.amps);
    const amps = (m: Measured) => Math.hypot(m.currents[0]!.re, m.currents[0]!.im);
    const holds = (m: Measured) => {
      const re = m.currents.slice(1).reduce((sum, c) => sum + c.re, 0);
      const im = m.currents.slice(1).reduce((sum, c) => sum + c.im, 0);
      if (m.volts < 85 || truth.some((f) => f.fault === 'line-load-reversed')) return false;
      return Math.hypot(re, im) <= 0.005 && Math.min(atLoad.volts, atFace.volts) >= 4;
    };
    const breakerHolds = amps(bare) <= limitA;
    const resets = breakerHolds && holds(bare);
    return { breakerHolds, resets, holdsUnderLoad: resets && amps(loaded) <= limitA && holds(loaded) };
  });
}

/** A pole of the device that leads to a slot which is not connected carries nothing and has no sense. */
function hasPole(truth: readonly Fault[], name: string): boolean {
  if (name.startsWith('1load')) return true;
  let slot = name.replace('1face', '');
  for (const f of truth) {
    if (f.fault !== 'face-swapped' || f.where !== 'outlet1') continue;
    const [a, b] = f.conductors as [string, string];
    slot = slot === a ? b : slot === b ? a : slot;
  }
  return !truth.some((f) => f.fault === 'face-open' && f.where === 'outlet1' && f.conductor === slot);
}

/** Faults at different places or of different kinds: the same exchange twice would be none. */
function distinctFaults(random: Random, circuit: ElectricalCircuit, count: number): Fault[] {
  const truth: Fault[] = [];
  while (truth.length < count) {
    const fault = randomFault(random, circuit);
    if (!truth.some((f) => f.fault === fault.fault && f.where === fault.where)) truth.push(fault);
  }
  return truth;
}

interface Step {
  readonly wanted?: Wanted;
  readonly reading: (measured: number, random: Random) => Reading;
}

/** The readings of the round as far as a person would take them in this van. */
function roundOf(draft: Draft, stand: Stand): Step[] {
  return roundTests(draft.circuit, stand).map((test) => stepFor(draft, stand, test));
}

function roundTests({ run }: ElectricalCircuit, stand: Stand): Test[] {
  const last = `outlet${run.length}`;
  const outlets = run.map((_, k) => `outlet${k + 1}`);
  const ohms = (from: string, to: string): Test => ({ test: 'resistance', from, to });
  const volts = (from: string, to: string): Test => ({ test: 'voltage', from, to });
  const three = (name: (c: string) => string, of: (a: string, b: string) => Test) => [
    of(name('hot'), name('neutral')),
    of(name('hot'), name('ground')),
    of(name('neutral'), name('ground')),
  ];
  const tests: Test[] = [
    ohms('inlet.ground', 'chassis'),
    ...outlets.map((at) => ohms('inlet.ground', `${at}.ground`)),
    ...['hot', 'neutral'].map((c) => ohms(`inlet.${c}`, `outlet1.line.${c}`)),
    ...outlets
      .slice(1)
      .flatMap((at) => ['hot', 'neutral'].map((c) => ohms(`outlet1.load.${c}`, `${at}.${c}`))),
    ...three((c) => `inlet.${c}`, ohms),
    ...three((c) => (c === 'ground' ? 'outlet1.ground' : `outlet1.load.${c}`), ohms),
    ...three((c) => `outlet1.${c}`, ohms),
    ...['hot', 'neutral', 'ground'].map((c) => ohms(`plug.${c}`, `connector.${c}`)),
    { test: 'observation', what: 'supply-holds' },
    { test: 'observation', what: 'gfci-resets' },
  ];
  if (stand.breakerHolds) {
    tests.push(volts('chassis', 'earth'), ...outlets.flatMap((at) => three((c) => `${at}.${c}`, volts)));
  }
  if (!stand.resets) return tests;
  tests.push(...outlets.map((at): Test => ({ test: 'observation', what: 'dead-when-tripped', at })));
  tests.push({ test: 'observation', what: 'holds-under-load', at: last, amps: loadA });
  if (stand.holdsUnderLoad)
    tests.push({ test: 'loaded-voltage', from: `${last}.hot`, to: `${last}.neutral`, amps: loadA });
  return tests;
}

/** What ngspice is asked for one test, and the reading that the meter makes of its answer. */
function stepFor(
  { circuit, truth, breakAt }: Omit<Draft, 'seed' | 'random'>,
  stand: Stand,
  test: Test,
): Step {
  const dead: SetUp = { circuit, faults: truth, state: 'dead', closed: new Set(), breakAt };
  const live: SetUp = { ...dead, state: 'live', stray: strayFarad };
  if (test.test === 'observation') {
    if (test.what === 'dead-when-tripped') {
      const [from, to] = [`${test.at}.hot`, `${test.at}.neutral`];
      const setUp = { ...live, probe: { from, to, inputOhm: 30_000 } };
      return {
        wanted: { setUp, between: [from, to] },
        reading: (value) => ({ ...test, answer: value < 30 }),
      };
    }
    if (test.what === 'three-lamp') throw new Error('no lamps in the round');
    const answers = {
      'supply-holds': stand.breakerHolds,
      'gfci-resets': stand.resets,
      'holds-under-load': stand.holdsUnderLoad,
    };
    return { reading: () => ({ ...test, answer: answers[test.what] }) };
  }
  const { from, to } = test;
  if (test.test === 'resistance') {
    const setUp = { ...dead, probe: { from, to, inputOhm: 0 } };
    return {
      wanted: { setUp, between: [from, to] },
      reading: (value, random) => ({ test: 'resistance', from, to, ohms: shownOhms(value, random) }),
    };
  }
  const setUp: SetUp = {
    ...live,
    closed: new Set(stand.resets ? [1] : []),
    probe: { from, to, inputOhm: caseMeter.inputOhms },
    ...(test.test === 'loaded-voltage'
      ? { load: { outlet: circuit.run.length, ohm: circuit.supply.volts / test.amps } }
      : {}),
  };
  return {
    wanted: { setUp, between: [from, to] },
    reading: (value, random) => ({ ...test, volts: shownVolts(value, random) }),
  };
}

/** The same van asked further tests, one each, as the fault-finder asks for them. */
export function takeNext(asked: readonly { readonly made: MadeCase; readonly test: Test }[]): Reading[] {
  const vans = asked.map(({ made }) => made.van);
  const stands = standsOf(vans);
  const steps = asked.map(({ made, test }, i) => stepFor(made.van, stands[i]!, test));
  const measured = measureAll(steps.flatMap((s) => (s.wanted === undefined ? [] : [s.wanted])));
  let next = 0;
  return steps.map((s, i) => {
    const random = randomFrom(asked[i]!.made.seed * 31 + asked[i]!.made.file.readings.length);
    return s.reading(s.wanted === undefined ? 0 : measured[next++]!.volts, random);
  });
}

/** What the meter shows of a resistance: over-limit before any error, else up to 0.7 of the stated error, then rounded. */
export function shownOhms(ohm: number, random: Random): number | null {
  const share = (2 * random() - 1) * 0.7;
  if (ohm > caseMeter.ohms.overLimit) return null;
  let digit = caseMeter.ohms.resolution;
  while (ohm >= digit * 10_000) digit *= 10;
  const error = (caseMeter.ohms.percent / 100) * ohm + caseMeter.ohms.counts * digit;
  return rounded(Math.max(0, ohm + share * error), digit);
}

export function shownVolts(volts: number, random: Random): number {
  const digit = caseMeter.volts.resolution;
  const error = (caseMeter.volts.percent / 100) * volts + caseMeter.volts.counts * digit;
  return rounded(Math.max(0, volts + (2 * random() - 1) * 0.7 * error), digit);
}

function rounded(value: number, digit: number): number {
  return Number((Math.round(value / digit) * digit).toPrecision(10));
}
