import { Bench } from '../meter/bench.js';
import { conductors, type ElectricalCircuit, isGroundFaultDevice } from '../meter/electrical-circuit.js';
import type { Fault } from '../meter/fault.js';
import { lowImpedanceOhm, type Meter } from '../meter/meter.js';
import type { Test } from '../meter/readings-file.js';
import { fullSchedule, slotPairs } from '../meter/schedule.js';
import { uncertainty } from '../meter/uncertainty.js';
import { sameTest, type Taken } from './taken.js';

/** An explanation still standing, with its probability. */
export interface Standing {
  readonly faults: readonly Fault[];
  readonly probability: number;
}

/** Less than this (nats) is not worth a reading. */
const leastGain = 0.01;

/**
 * The reading that parts the standing explanations best for what it costs the fitter: expected information by effort, dead
 * before live, nothing opened that is closed. Null where no reading parts them.
 * @source de Kleer and Williams, Diagnosing Multiple Faults, Artificial Intelligence 32 (1987)
 */
export function nextReading(
  circuit: ElectricalCircuit,
  taken: Taken,
  standing: readonly Standing[],
): Test | null {
  const tests = possibleTests(circuit).filter((t) => !taken.has(t) && isSensible(t, circuit, taken));
  if (tests.length === 0 || standing.length < 2) return null;
  const bench = new Bench(circuit, taken.meter, tests);
  const shown = standing.map(({ faults, probability }) => ({ probability, ...bench.shows(faults) }));
  let best: Test | null = null;
  let bestWorth = 0;
  tests.forEach((test, i) => {
    const outcomes = shown.map(({ values, other, probability }) => ({
      // Where a device may stand either way the answer says nothing about this explanation.
      value: other !== undefined && !Object.is(other[i], values[i]) ? Number.NaN : values[i]!,
      probability,
    }));
    const gain = information(outcomes, test, taken.meter);
    const worth = gain / effort(test);
    if (gain > leastGain && worth > bestWorth * 1.0001) {
      best = test;
      bestWorth = worth;
    }
  });
  return best;
}

/** Expected information of a test, nats: outcomes closer than the meter can part are one, a floating one says nothing. */
function information(
  outcomes: readonly { value: number; probability: number }[],
  test: Test,
  meter: Meter,
): number {
  const said = outcomes.filter((o) => !Number.isNaN(o.value)).sort((a, b) => a.value - b.value);
  const total = outcomes.reduce((sum, o) => sum + o.probability, 0);
  const groups: number[] = [];
  let last: number | undefined;
  for (const { value, probability } of said) {
    const seen =
      test.test === 'resistance' && value > meter.ohms.overLimit ? Number.POSITIVE_INFINITY : value;
    if (last !== undefined && isSame(last, seen, test, meter)) groups[groups.length - 1]! += probability;
    else groups.push(probability);
    last = seen;
  }
  const weight = groups.reduce((a, b) => a + b, 0);
  if (weight <= 0) return 0;
  const entropy = groups.reduce((sum, g) => (g > 0 ? sum - (g / weight) * Math.log(g / weight) : sum), 0);
  return (entropy * weight) / total;
}

function isSame(a: number, b: number, test: Test, meter: Meter): boolean {
  if (a === b) return true;
  if (test.test === 'observation' || !Number.isFinite(b)) return false;
  return b - a <= 1.2 * uncertainty(meter, { test: test.test, value: b });
}

/** What a reading costs the fitter, against one dead reading at slots and pins. */
function effort(test: Test): number {
  if (test.test === 'resistance') return isBehindCover(test.from) || isBehindCover(test.to) ? 1.3 : 1;
  if (test.test === 'observation') return test.what === 'holds-under-load' ? 3 : 1.8;
  if (test.test === 'loaded-voltage') return 3;
  return test.from.startsWith('outlet') && test.to === 'earth' ? 2.5 : 2;
}

function isBehindCover(point: string): boolean {
  return point.includes('.line.') || point.includes('.load.');
}

/** The round of readings, and beside it what else can be read at slots, pins and the cord's ends. */
function possibleTests(circuit: ElectricalCircuit): Test[] {
  const tests = fullSchedule(circuit);
  const add = (test: Test) => {
    if (!tests.some((t) => sameTest(t, test))) tests.push(test);
  };
  const outlets = circuit.run.map((_, k) => `outlet${k + 1}`);
  for (const at of outlets) {
    for (const [a, b] of slotPairs) add({ test: 'resistance', from: `${at}.${a}`, to: `${at}.${b}` });
  }
  for (const from of conductors) {
    for (const to of conductors) {
      if (from !== to) add({ test: 'resistance', from: `plug.${from}`, to: `connector.${to}` });
    }
  }
  outlets.forEach((at, k) => {
    for (const from of conductors) {
      for (const to of conductors) {
        add({ test: 'resistance', from: `inlet.${from}`, to: `${at}.${to}` });
        if (k > 0 && !isGroundFaultDevice(circuit, k))
          add({ test: 'resistance', from: `outlet${k}.${from}`, to: `${at}.${to}` });
      }
    }
  });
  for (const [a, b] of slotPairs) add({ test: 'voltage', from: `supply.${a}`, to: `supply.${b}` });
  // A slot against true earth tells which one the supply drives, where its own ground is open or lies.
  for (const at of outlets) {
    for (const slot of ['hot', 'neutral']) add({ test: 'voltage', from: `${at}.${slot}`, to: 'earth' });
  }
  return tests;
}

/** Nothing live once the supply's breaker opened; no load on a device that fell; no low-impedance path from hot to ground. */
function isSensible(test: Test, circuit: ElectricalCircuit, taken: Taken): boolean {
  if (test.test === 'resistance') return true;
  if (taken.answers('supply-holds').includes(false)) return false;
  const fell = taken.answers('gfci-resets').includes(false);
  if (test.test === 'observation') {
    if (test.what === 'supply-holds' || test.what === 'gfci-resets') return true;
    return !fell;
  }
  if (test.test === 'loaded-voltage') return !fell && !taken.answers('holds-under-load').includes(false);
  const toGround = [test.from, test.to].some((p) => p.endsWith('ground') || p === 'chassis' || p === 'earth');
  return !(toGround && taken.meter.inputOhms < lowImpedanceOhm && circuit.run.length > 0);
}
