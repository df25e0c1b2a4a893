import { Bench } from '../meter/bench.js';
import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import type { Fault } from '../meter/fault.js';
import type { Meter } from '../meter/meter.js';
import type { Test } from '../meter/readings-file.js';
import { uncertainty } from '../meter/uncertainty.js';
import { possibleTests } from './possible-tests.js';
import type { Taken } from './taken.js';

/** An explanation still standing, with its probability. */
export interface Standing {
  readonly faults: readonly Fault[];
  readonly probability: number;
}

/** Less than this (nats) is not worth a reading. */
const leastGain = 0.01;
/** To know the place is the aim; which fault it is there will show once it is opened. */
const faultShare = 0.3;
/** A reading that costs four times as much must part twice as well. */
const effortPower = 0.5;
/** Where "nothing wrong" is so probable the round of readings is finished, and nothing is asked beyond it. */
const surelySound = 0.8;

interface Outcome {
  readonly value: number;
  readonly probability: number;
  readonly place: string;
}

/**
 * The reading that parts the standing explanations best for what it costs the fitter: expected information by effort, dead
 * before live, nothing opened that is closed, of those that `may` be taken. Null where no reading parts them.
 * @source de Kleer and Williams, Diagnosing Multiple Faults, Artificial Intelligence 32 (1987)
 */
export function nextReading(
  circuit: ElectricalCircuit,
  taken: Taken,
  standing: readonly Standing[],
  may: (test: Test) => boolean = () => true,
): Test | null {
  if (standing.length < 2) return null;
  const [first] = standing;
  const sound = first!.faults.length === 0 && first!.probability > surelySound;
  const possible = possibleTests(circuit, taken, sound ? 'round' : 'any').filter(({ test }) => may(test));
  const bench = new Bench(
    circuit,
    taken.meter,
    possible.map((p) => p.test),
  );
  const shown = standing.map(({ faults, probability }) => ({
    probability,
    place: placesOf(faults),
    ...bench.shows(faults),
  }));
  let best: Test | null = null;
  let bestWorth = 0;
  possible.forEach(({ test, effort }, i) => {
    const outcomes = shown.map(({ values, others, probability, place }) => ({
      // Where breaker, device or supply may stand either way the answer says nothing about this explanation.
      value: others.every(
        (o) => Object.is(o.values[i], values[i]) && (o.weak === undefined || Object.is(o.weak[i], values[i])),
      )
        ? values[i]!
        : Number.NaN,
      probability,
      place,
    }));
    const gain = information(outcomes, test, taken.meter);
    const worth = gain / effort ** effortPower;
    if (gain > leastGain && worth > bestWorth * 1.0001) {
      best = test;
      bestWorth = worth;
    }
  });
  return best;
}

function placesOf(faults: readonly Fault[]): string {
  return faults
    .map((f) => f.where)
    .sort()
    .join();
}

/**
 * Expected information of a test about the place and, for less, about the fault there, nats: outcomes closer than the meter
 * can part are one, a floating one says nothing.
 */
function information(outcomes: readonly Outcome[], test: Test, meter: Meter): number {
  const said = outcomes.filter((o) => !Number.isNaN(o.value)).sort((a, b) => a.value - b.value);
  const groups: Outcome[][] = [];
  let last: number | undefined;
  for (const outcome of said) {
    const over = test.test === 'resistance' && outcome.value > meter.ohms.overLimit;
    const seen = over ? Number.POSITIVE_INFINITY : outcome.value;
    if (last !== undefined && isSame(last, seen, test, meter)) groups.at(-1)!.push(outcome);
    else groups.push([outcome]);
    last = seen;
  }
  if (groups.length < 2) return 0;
  const sum = (of: readonly Outcome[]) => of.reduce((total, o) => total + o.probability, 0);
  const weight = sum(said);
  const aboutFault = entropy(groups.map(sum));
  const left = groups.reduce((total, g) => total + (sum(g) / weight) * placeEntropy(g), 0);
  const aboutPlace = placeEntropy(said) - left;
  return ((faultShare * aboutFault + (1 - faultShare) * aboutPlace) * weight) / sum(outcomes);
}

function placeEntropy(outcomes: readonly Outcome[]): number {
  const byPlace = new Map<string, number>();
  for (const { place, probability } of outcomes) byPlace.set(place, (byPlace.get(place) ?? 0) + probability);
  return entropy([...byPlace.values()]);
}

/** Entropy of some weights, nats. */
function entropy(weights: readonly number[]): number {
  const total = weights.reduce((a, b) => a + b, 0);
  return weights.reduce((sum, w) => (w > 0 ? sum - (w / total) * Math.log(w / total) : sum), 0);
}

function isSame(a: number, b: number, test: Test, meter: Meter): boolean {
  if (a === b) return true;
  if (test.test === 'observation' || !Number.isFinite(b)) return false;
  return b - a <= 1.2 * uncertainty(meter, { test: test.test, value: b });
}
