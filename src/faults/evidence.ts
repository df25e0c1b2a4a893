import { Bench, type Shows, type Stand } from '../meter/bench.js';
import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import type { Fault } from '../meter/fault.js';
import type { Meter } from '../meter/meter.js';
import type { Reading } from '../meter/readings-file.js';
import { lampBits } from '../meter/three-lamp.js';
import { uncertainty } from '../meter/uncertainty.js';
import {
  clearShareOf,
  costOfShare,
  groundRise,
  mayBeElectronics,
  mostVolts,
  riseOf,
  supplyShare,
} from './as-met.js';
import { crosswise, polesOf } from './crosswise.js';
import { onFittedSupply } from './fit-supply.js';

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
/** Logarithm of the chance that the electronics of a device show between hot and neutral: a little less than a join there is likely. */
const electronicsShow = -5;
/** Readings of bare conductors lie below this, leads and all, Ω. */
export const lowOhm = 1.5;
/** From so many of them on, what all show too much is told to be the leads'. */
export const enoughLow = 5;
/** A ghost seldom shows the supply's full volts: so much less likely, for each such reading and for all together. */
const fullGhost = -1;
const fullGhosts = -3;
const fullShare = 0.95;
/** Ghosts between the same two conductors show the same, but for a hand or a lead that lies otherwise: within this share of the supply's volts. */
const ghostSpread = 0.4;

/** The readings taken, and how well any set of faults explains them. */
export class Evidence {
  readonly bench: Bench;
  readonly readings: readonly Reading[];
  /** Indices of the dead readings. */
  readonly dead: readonly number[];
  readonly #shown: Float64Array;
  readonly #error: Float64Array;
  readonly #fullVolts: number;
  readonly #mostGhostVolts: number;
  /** Readings that the electronics of a device may show, by index, with the logarithm of the chance: the first tells, the others with it. */
  readonly #electronics: ReadonlyMap<number, number>;
  /** The supply's volts against the nominal, where the slots say clearly that they differ; else 1. */
  readonly supplyShare: number;
  /** Ohms that every low reading shows too much, where they clearly do: leads that were not nulled; else 0. */
  readonly leadOhm: number;
  /** Dead readings of hot and of neutral between the same two places, by index. */
  readonly #poles: readonly (readonly [number, number])[];
  readonly #scratch: Float64Array;

  /** Exact duplicates count once and order changes nothing. */
  constructor(circuit: ElectricalCircuit, meter: Meter, readings: readonly Reading[]) {
    this.readings = distinct(readings);
    this.dead = this.readings.flatMap((r, i) => (r.test === 'resistance' ? [i] : []));
    this.#poles = polesOf(this.readings);
    this.#scratch = new Float64Array(this.readings.length);
    this.bench = new Bench(circuit, meter, this.readings);
    this.#shown = Float64Array.from(this.readings, shownValue);
    const rise = groundRise(this.readings, circuit.supply.volts, meter);
    this.#error = Float64Array.from(
      this.readings,
      (r) => errorOf(r, meter) + ('volts' in r ? Math.max(rise, riseOf(r, circuit, this.readings)) : 0),
    );
    // A ghost couples from the supply itself.
    this.#mostGhostVolts = mostVolts(circuit);
    const shown = [...this.readings.keys()].filter((i) => mayBeElectronics(circuit, this.readings[i]!));
    this.#electronics = new Map(shown.map((i, k) => [i, k === 0 ? electronicsShow : 0]));
    this.supplyShare = supplyShare(this.readings, circuit.supply.volts);
    this.#fullVolts = fullShare * this.supplyShare * circuit.supply.volts;
    this.leadOhm = leadOhm(this);
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
    const values = this.#scratch;
    this.bench.showDead(faults, values);
    let sum = 0;
    for (const i of this.dead) sum += this.deadTerm(i, values[i]!);
    return sum;
  }

  /** One dead reading's share with the prediction anywhere from `low` to `high`, leads nulled or not: no more can be had. */
  deadTerm(index: number, low: number, high = low): number {
    const nulled = this.#nearestTerm(index, low, high);
    if (nulled === 0 || this.leadOhm === 0) return nulled;
    return Math.max(nulled, this.#nearestTerm(index, low + this.leadOhm, high + this.leadOhm));
  }

  total(shows: Shows): number {
    return this.#best(shows).sum;
  }

  /** Each reading's share of the logarithm, on the better of the stands where a device or the supply may stand either way. */
  terms(shows: Shows): Float64Array {
    const { stand } = this.#best(shows);
    const terms = Float64Array.from(this.readings, (_, i) => this.term(i, stand.values[i]!));
    for (const i of this.#strayGhosts(stand)) terms[i] = misread;
    return terms;
  }

  /** One reading against one prediction. */
  term(index: number, predicted: number): number {
    const shown = this.#shown[index]!;
    if (Number.isNaN(predicted)) {
      if (!this.#isVolts(index)) return 0;
      return shown > this.#mostGhostVolts ? misread : shown > this.#fullVolts ? fullGhost : 0;
    }
    const error = this.#error[index]!;
    if (error === 0) return predicted === shown ? 0 : misanswered;
    let away = Math.abs(predicted - shown);
    const least = (predicted > shown ? this.#electronics.get(index) : undefined) ?? misread;
    if (this.readings[index]!.test === 'resistance') {
      const { overLimit } = this.bench.meter.ohms;
      const beyond = predicted > overLimit;
      if (shown === Number.POSITIVE_INFINITY) {
        if (beyond) return 0;
        away = (overLimit - predicted) * (error / (0.01 * overLimit));
      } else if (beyond) return least;
    }
    const steps = (away / error - rightWithin) / doubtStep;
    return steps <= 0 ? 0 : Math.max(least, -0.5 * steps * steps);
  }

  #nearestTerm(index: number, low: number, high: number): number {
    const shown = this.#shown[index]!;
    if (shown < low) return this.term(index, low);
    return shown > high ? this.term(index, high) : 0;
  }

  /** What the bench shows as it explains most: the device as it may stand, the supply and the leads as they are. */
  asMet(shows: Shows): Float64Array {
    return this.#best(shows).stand.values;
  }

  /** The stand that explains most: contacts open or latched, the supply at its nominal volts or at what the slots say, stiff or weak. */
  #best({ others, ...own }: Shows): { stand: Stand; sum: number } {
    return [own, ...others]
      .map((stand) => (stand.weak === undefined ? this.#atVolts(stand) : this.#onSupply(stand, stand.weak)))
      .reduce((a, b) => (b.sum > a.sum ? b : a));
  }

  /** At the nominal volts or at those that the slots say. */
  #atVolts(stand: Stand): { stand: Stand; sum: number } {
    const sum = this.#sum(stand);
    const share = this.#shareOf(stand);
    if (share === 1 && this.leadOhm === 0) return { stand, sum };
    const penalty = costOfShare(share) - (this.leadOhm === 0 ? 0 : 1);
    const off = this.#off(stand, share);
    const sumOff = this.#sum(off) + penalty;
    return sumOff > sum ? { stand: off, sum: sumOff } : { stand, sum };
  }

  /** On the supply that explains most, between the stiffest and the weakest. */
  #onSupply(stiff: Stand, weak: Float64Array): { stand: Stand; sum: number } {
    const { values, share } = onFittedSupply(this.readings, this.#error, stiff.values, weak);
    const { stand, sum } = this.#atVolts({ ...stiff, values });
    return { stand, sum: sum + costOfShare(share) };
  }

  /** The supply's volts as a share of the nominal, by what the driven slots show of what they should. */
  #shareOf({ values }: Stand): number {
    const least = this.bench.circuit.supply.volts / 2;
    const shares: number[] = [];
    for (let i = 0; i < values.length; i++)
      if (this.readings[i]!.test === 'voltage' && values[i]! > least)
        shares.push(this.#shown[i]! / values[i]!);
    return clearShareOf(shares, 1);
  }

  /** Predictions at a share of the supply's volts and through the leads as they are. */
  #off({ values, alike, faint }: Stand, share: number): Stand {
    const off = values.map((value, i) => {
      if (this.#isVolts(i)) return value * share;
      return this.readings[i]!.test === 'resistance' ? value + this.leadOhm : value;
    });
    return { values: off, alike, faint };
  }

  #sum(stand: Stand): number {
    const { values } = stand;
    let sum = this.#crossed(values);
    let ghosts = 0;
    for (let i = 0; i < values.length; i++) {
      const term = this.term(i, values[i]!);
      if (Number.isNaN(values[i]!) && term !== misread) ghosts += term;
      else sum += term;
    }
    return sum + Math.max(ghosts, fullGhosts) + misread * this.#strayGhosts(stand).length;
  }

  /** What is given back where the poles of a place are exchanged by these predictions, and both were read as if they were not. */
  #crossed(values: Float64Array): number {
    const { overLimit } = this.bench.meter.ohms;
    const open = (i: number) => values[i]! > overLimit && this.#shown[i]! < lowOhm;
    return this.#poles.some(([hot, neutral]) => open(hot) && open(neutral)) ? crosswise - misread : 0;
  }

  /**
   * A ghost may show anything, but the same wherever the same two conductors are touched: the readings that lie far from the middle one
   * of theirs were misread, if ghosts they are. So were the supply's full volts where nothing that carries any lies beside.
   */
  #strayGhosts({ alike, faint, values }: Stand): readonly number[] {
    const firsts = new Set(alike.filter((first, i) => first !== i));
    const full = [...faint.keys()].filter(
      (i) => faint[i] === 1 && Number.isNaN(values[i]!) && this.#shown[i]! > this.#fullVolts,
    );
    const stray = [...firsts].flatMap((first) => {
      const same = this.readings.flatMap((_, i) => (alike[i] === first ? [i] : []));
      const middle = same.map((i) => this.#shown[i]!).sort((a, b) => a - b)[(same.length - 1) >> 1]!;
      const spread = ghostSpread * this.bench.circuit.supply.volts;
      return same.filter((i) => Math.abs(this.#shown[i]! - middle) > spread);
    });
    return [...new Set([...stray, ...full])];
  }

  #isVolts(index: number): boolean {
    const { test } = this.readings[index]!;
    return test === 'voltage' || test === 'loaded-voltage';
  }
}

/** What the low dead readings show beyond the sound circuit in common: their median, where the meter can tell so much. */
function leadOhm(evidence: Evidence): number {
  const sound = new Float64Array(evidence.readings.length);
  evidence.bench.showDead([], sound);
  const beyond = evidence.readings
    .flatMap((r, i) => {
      const shown = evidence.shown(i);
      return r.test === 'resistance' && sound[i]! < lowOhm && shown < lowOhm
        ? [{ ohm: shown - sound[i]!, error: evidence.error(i) }]
        : [];
    })
    .sort((a, b) => a.ohm - b.ohm);
  const median = beyond[(beyond.length - 1) >> 1];
  if (median === undefined || beyond.length < enoughLow || median.ohm < 0.8 * median.error) return 0;
  // Leads are in every reading: where several lack it, it is a joint.
  return beyond.filter((b) => b.ohm < median.ohm - b.error).length > 1 ? 0 : median.ohm;
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
