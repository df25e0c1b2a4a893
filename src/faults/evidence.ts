import { Bench, type Shows, type Stand } from '../meter/bench.js';
import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import type { Fault } from '../meter/fault.js';
import type { Meter } from '../meter/meter.js';
import type { Reading } from '../meter/readings-file.js';
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
import { leadOhm, lowOhm } from './lead-ohm.js';
import { distinct, errorOf, shownValue } from './reading-values.js';

/** Shares of the meter's stated error: up to the first a reading is simply right, beyond it the second is one step of doubt. */
const rightWithin = 0.75;
const doubtStep = 0.3;
/** Logarithm of the chance that a figure or an answer was misread or put in the wrong row. */
const misread = -14;
const misanswered = -9;
/** Logarithm of the chance that the electronics of a device show between hot and neutral: a little less than a join there is likely. */
const electronicsShow = -5;
/** Logarithm of the chance that a poor joint reads well while nothing flows through it: about half do. */
const goodAtRest = -0.7;
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
  /** A load was on at some reading. */
  readonly hasLoad: boolean;

  /** Exact duplicates count once and order changes nothing. */
  constructor(circuit: ElectricalCircuit, meter: Meter, readings: readonly Reading[]) {
    this.readings = distinct(readings);
    this.dead = this.readings.flatMap((r, i) => (r.test === 'resistance' ? [i] : []));
    this.#poles = polesOf(this.readings);
    this.#scratch = new Float64Array(this.readings.length);
    this.hasLoad = this.readings.some((r) => r.test === 'loaded-voltage');
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
    const atRest = this.bench.atRest(faults);
    const sum = this.#deadSum(values);
    return atRest === undefined ? sum : Math.max(sum, this.#deadSum(atRest) + goodAtRest);
  }

  #deadSum(values: Float64Array): number {
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

  /** Each reading's share with these faults on the supply as it was given, and on none stiffer. */
  termsAsGiven(faults: readonly Fault[]): Float64Array {
    const { stiff: _stiffer, ...shows } = this.bench.shows(faults);
    return this.terms(shows);
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
  #best({ others, atRest, ...own }: Shows): { stand: Stand; sum: number } {
    const stands = [own, ...others];
    const best = this.#bestOf(stands);
    if (atRest === undefined) return best;
    const rested = this.#bestOf(stands.map((stand) => this.#atRest(stand, atRest)));
    return rested.sum + goodAtRest > best.sum ? { ...rested, sum: rested.sum + goodAtRest } : best;
  }

  #bestOf(stands: readonly Stand[]): { stand: Stand; sum: number } {
    return stands
      .map((stand) => (stand.weak === undefined ? this.#atVolts(stand) : this.#onSupply(stand, stand.weak)))
      .reduce((a, b) => (b.sum > a.sum ? b : a));
  }

  /** The stand with its joints as they read at rest. */
  #atRest(stand: Stand, atRest: Float64Array): Stand {
    const rested = (values: Float64Array) => {
      const all = values.slice();
      for (const i of this.dead) all[i] = atRest[i]!;
      return all;
    };
    const { values, stiff } = stand;
    return { ...stand, values: rested(values), ...(stiff && { stiff: rested(stiff) }) };
  }

  /** At the nominal volts or at those that the slots say. */
  #atVolts(nominal: Stand): { stand: Stand; sum: number } {
    const stand = this.#onStiffer(nominal);
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

  /** On a supply as much stiffer than it was taken for as the readings under load say. */
  #onStiffer(stand: Stand): Stand {
    const { values, stiff } = stand;
    if (stiff === undefined) return stand;
    const share = this.#shareOf(stand);
    let [sum, weight] = [0, 0];
    for (let i = 0; i < values.length; i++) {
      const slope = (share * (stiff[i]! - values[i]!)) / this.#error[i]!;
      if (!Number.isFinite(slope) || Math.abs(slope) < 1e-6) continue;
      sum += (slope * (this.#shown[i]! - share * values[i]!)) / this.#error[i]!;
      weight += slope * slope;
    }
    const most = Math.min(Math.max(weight > 0 ? sum / weight : 0, 0), 1);
    if (most === 0) return stand;
    return {
      ...stand,
      values: values.map((v, i) => (v === stiff[i] || !Number.isFinite(v) ? v : v + most * (stiff[i]! - v))),
    };
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
