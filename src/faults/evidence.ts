import { Bench, type Shows } from '../meter/bench.js';
import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import type { Fault } from '../meter/fault.js';
import type { Meter } from '../meter/meter.js';
import type { Reading } from '../meter/readings-file.js';
import { lampBits } from '../meter/three-lamp.js';
import { uncertainty } from '../meter/uncertainty.js';

/** Shares of the meter's stated error: up to the first a reading is simply right, beyond it the second is one step of doubt. */
const rightWithin = 0.75;
const doubtStep = 0.3;
/** What the model itself may be off by: 2 mΩ, 0.5 %, 0.1 V. */
const modelOhm = 0.002;
const modelShare = 0.005;
const modelVolts = 0.1;
/** Logarithm of the chance that a figure or an answer was misread or put in the wrong row. */
const misread = -14;
const misanswered = -9;
/** A ghost seldom shows the supply's full volts: so much less likely, for each such reading and for all together. */
const fullGhost = -1;
const fullGhosts = -3;
const fullShare = 0.95;

/** The readings taken, and how well any set of faults explains them. */
export class Evidence {
  readonly bench: Bench;
  readonly readings: readonly Reading[];
  readonly #shown: Float64Array;
  readonly #error: Float64Array;
  readonly #fullVolts: number;

  /** Exact duplicates count once and order changes nothing. */
  constructor(circuit: ElectricalCircuit, meter: Meter, readings: readonly Reading[]) {
    this.readings = distinct(readings);
    this.bench = new Bench(circuit, meter, this.readings);
    this.#shown = Float64Array.from(this.readings, shownValue);
    this.#error = Float64Array.from(this.readings, (r) => errorOf(r, meter));
    this.#fullVolts = fullShare * circuit.supply.volts;
  }

  /** What reading `index` showed, as the bench counts it: Infinity for over-limit, 1 for yes, bits for lamps. */
  shown(index: number): number {
    return this.#shown[index]!;
  }

  /** Half-width of what counts as right at reading `index`, in its unit. */
  error(index: number): number {
    return this.#error[index]!;
  }

  /** Logarithm of the likelihood of all readings with these faults: 0 when every reading is right or proves nothing. */
  logLikelihood(faults: readonly Fault[]): number {
    return this.total(this.bench.shows(faults));
  }

  /** The dead readings' share of it: never less than the whole, and quickly had. */
  deadLogLikelihood(faults: readonly Fault[]): number {
    const values = new Float64Array(this.readings.length);
    this.bench.showDead(faults, values);
    let sum = 0;
    for (let i = 0; i < values.length; i++)
      if (this.readings[i]!.test === 'resistance') sum += this.term(i, values[i]!);
    return sum;
  }

  total(shows: Shows): number {
    const main = this.#sum(shows.values);
    return shows.other === undefined ? main : Math.max(main, this.#sum(shows.other));
  }

  /** Each reading's share of the logarithm, on the better of the two stands where a device may stand either way. */
  terms(shows: Shows): Float64Array {
    const { values, other } = shows;
    const better = other !== undefined && this.#sum(other) > this.#sum(values) ? other : values;
    return Float64Array.from(this.readings, (_, i) => this.term(i, better[i]!));
  }

  /** One reading against one prediction. */
  term(index: number, predicted: number): number {
    const shown = this.#shown[index]!;
    if (Number.isNaN(predicted)) return shown > this.#fullVolts && this.#isVolts(index) ? fullGhost : 0;
    const error = this.#error[index]!;
    if (error === 0) return predicted === shown ? 0 : misanswered;
    let away = Math.abs(predicted - shown);
    if (this.readings[index]!.test === 'resistance') {
      const { overLimit } = this.bench.meter.ohms;
      const beyond = predicted > overLimit;
      if (shown === Number.POSITIVE_INFINITY) {
        if (beyond) return 0;
        away = (overLimit - predicted) * (error / (0.01 * overLimit));
      } else if (beyond) return misread;
    }
    const steps = (away / error - rightWithin) / doubtStep;
    return steps <= 0 ? 0 : Math.max(misread, -0.5 * steps * steps);
  }

  #sum(values: Float64Array): number {
    let sum = 0;
    let ghosts = 0;
    for (let i = 0; i < values.length; i++) {
      const value = values[i]!;
      if (Number.isNaN(value)) ghosts += this.term(i, value);
      else sum += this.term(i, value);
    }
    return sum + Math.max(ghosts, fullGhosts);
  }

  #isVolts(index: number): boolean {
    const { test } = this.readings[index]!;
    return test === 'voltage' || test === 'loaded-voltage';
  }
}

/** The readings without exact repeats, in an order of their own. */
export function distinct(readings: readonly Reading[]): Reading[] {
  const byKey = new Map(readings.map((r) => [keyOf(r), r]));
  return [...byKey.keys()].sort().map((key) => byKey.get(key)!);
}

/** One text for one reading or test, whatever the order of its fields. */
export function keyOf(reading: object): string {
  return JSON.stringify(
    Object.entries(reading)
      .filter(([, value]) => value !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1)),
  );
}

function shownValue(reading: Reading): number {
  if ('ohms' in reading) return reading.ohms ?? Number.POSITIVE_INFINITY;
  if ('volts' in reading) return reading.volts;
  return 'lamps' in reading ? lampBits(reading.lamps) : Number(reading.answer);
}

function errorOf(reading: Reading, meter: Meter): number {
  if ('ohms' in reading) {
    if (reading.ohms === null) return 1;
    const stated = uncertainty(meter, { test: 'resistance', value: reading.ohms });
    return stated + modelOhm + modelShare * reading.ohms;
  }
  if ('volts' in reading)
    return uncertainty(meter, { test: reading.test, value: reading.volts }) + modelVolts;
  return 0;
}
