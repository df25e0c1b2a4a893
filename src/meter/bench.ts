import { readingLimits } from '../trade/reading-limits.js';
import type { ElectricalCircuit } from './electrical-circuit.js';
import type { Fault } from './fault.js';
import { type Layout, layOut, nodeAt, nodesBeside, nowhere } from './layout.js';
import { type LiveState, settle, solve } from './live-state.js';
import { floatingOhm, lowImpedanceOhm, type Meter } from './meter.js';
import { wire } from './network.js';
import { outletOf, parsePoint } from './point.js';
import type { Test } from './readings-file.js';
import { lampsOfTest } from './three-lamp.js';

/** The lamp that stands in an outlet while TEST is pressed, Ω. */
const deadLampOhm = 30_000;

/**
 * What each test shows with certain faults, before any meter's error: Ω (Infinity where nothing joins the points), V, or 1
 * for yes and 0 for no (three lamps: bits 4, 2, 1 for hot–neutral, hot–ground, neutral–ground). NaN where the point floats
 * or the answer cannot be said. `other` differs where a device may stand either way.
 */
export interface Shows extends Stand {
  readonly other: Stand | undefined;
}

/** One way in which breaker and devices may stand. */
export interface Stand {
  readonly values: Float64Array;
  /** For each reading of a floating point: the first one between the same two conductors, which shows the same; else its own index. */
  readonly alike: Int16Array;
  /** 1 for each reading of a floating point beside which nothing carries volts: what couples into it is far from the supply's. */
  readonly faint: Uint8Array;
}

interface Pair {
  readonly index: number;
  readonly a: number;
  readonly b: number;
  readonly inputOhms: number;
  /** The conductors that lie beside the two points; none where one of them is true earth. */
  readonly beside: readonly number[];
}

/** A list of tests on one circuit with one meter, made ready to be asked of many sets of faults. */
export class Bench {
  readonly layout: Layout;
  readonly #dead: Pair[] = [];
  readonly #live: Pair[] = [];
  readonly #cordEnd: Pair[] = [];
  readonly #loads = new Map<string, { outlet: number; ohm: number; pairs: Pair[]; holds: number[] }>();
  readonly #supplyHolds: number[] = [];
  readonly #resets: number[] = [];
  readonly #deadAfterTest: { index: number; outlet: number }[] = [];
  readonly #lamps: { index: number; outlet: number }[] = [];
  readonly #none: boolean[];
  readonly #anyLive: boolean;

  constructor(
    readonly circuit: ElectricalCircuit,
    readonly meter: Meter,
    readonly tests: readonly Test[],
  ) {
    this.layout = layOut(circuit);
    this.#none = circuit.run.map(() => false);
    for (const [index, test] of tests.entries()) this.#sort(test, index);
    this.#anyLive = tests.some((t) => t.test !== 'resistance');
  }

  /** All tests with these faults. */
  shows(faults: readonly Fault[]): Shows {
    const values = new Float64Array(this.tests.length).fill(Number.NaN);
    this.showDead(faults, values);
    return this.showLive(faults, values);
  }

  /** The dead tests alone, into `values`. */
  showDead(faults: readonly Fault[], values: Float64Array): void {
    if (this.#dead.length === 0) return;
    this.layout.meshes.giveBack();
    const network = this.layout.meshes.take();
    wire(this.layout, faults, { supplied: false, cordIn: false, contacts: this.#none }, network);
    network.eliminate();
    for (const { index, a, b } of this.#dead) {
      const ohm = a === nowhere || b === nowhere ? Number.POSITIVE_INFINITY : network.resistance(a, b);
      values[index] = ohm > 1e12 ? Number.POSITIVE_INFINITY : ohm;
    }
  }

  /** The live tests, added to the dead ones in `values`. */
  showLive(faults: readonly Fault[], values: Float64Array): Shows {
    const alike = Int16Array.from(values, (_, index) => index);
    const stand: Stand = { values, alike, faint: new Uint8Array(values.length) };
    if (!this.#anyLive) return { ...stand, other: undefined };
    this.layout.meshes.giveBack();
    const state = settle(this.layout, faults);
    const resets = state.otherContacts === undefined ? Number(state.holds) : Number.NaN;
    for (const i of this.#supplyHolds)
      values[i] = state.breakerNear ? Number.NaN : Number(state.breakerHolds);
    for (const i of this.#resets) values[i] = Number(state.holds);
    this.#showCordEnd(faults, stand);
    if (!state.breakerHolds) {
      for (const { index } of this.#live) values[index] = 0;
      for (const load of this.#loads.values()) {
        for (const { index } of load.pairs) values[index] = 0;
        for (const i of load.holds) values[i] = 0;
      }
      for (const { index } of this.#lamps) values[index] = 0;
      return { ...stand, other: undefined };
    }
    this.#read(this.#live, state, stand);
    this.#showDeadAfterTest(faults, values);
    for (const lamp of this.#lamps)
      values[lamp.index] = lampsOfTest(this.layout, faults, state.contacts, lamp.outlet);
    const loaded = [...this.#loads.values()].map((load) => ({
      load,
      state: settle(this.layout, faults, load),
    }));
    let near = state.otherContacts !== undefined;
    for (const { load, state: under } of loaded) {
      for (const i of load.holds) values[i] = Number(under.breakerHolds && under.holds);
      if (under.breakerHolds) this.#read(load.pairs, under, stand);
      else for (const { index } of load.pairs) values[index] = 0;
      near ||= under.otherContacts !== undefined;
    }
    if (!near) return { ...stand, other: undefined };
    const other: Stand = { values: values.slice(), alike: alike.slice(), faint: stand.faint.slice() };
    for (const i of this.#resets) other.values[i] = resets;
    if (state.otherContacts !== undefined) {
      const contacts = state.otherContacts;
      this.#read(this.#live, solve(this.layout, faults, contacts), other);
      for (const lamp of this.#lamps)
        other.values[lamp.index] = lampsOfTest(this.layout, faults, contacts, lamp.outlet);
    }
    for (const { load, state: under } of loaded) {
      const contacts = under.otherContacts ?? under.contacts;
      if (under.otherContacts !== undefined || state.otherContacts !== undefined)
        for (const i of load.holds) other.values[i] = Number.NaN;
      if (under.breakerHolds) this.#read(load.pairs, solve(this.layout, faults, contacts, load), other);
    }
    return { ...stand, other };
  }

  #read(pairs: readonly Pair[], state: Solved, { values, alike, faint }: Stand): void {
    const floating: Pair[] = [];
    for (const pair of pairs) {
      const { index, a, b, inputOhms } = pair;
      if (a === nowhere || b === nowhere) continue;
      const ohm = state.network.resistance(a, b);
      if (ohm > floatingOhm && inputOhms > lowImpedanceOhm) {
        values[index] = Number.NaN;
        alike[index] = floating.find((earlier) => betweenTheSame(state, earlier, pair))?.index ?? index;
        faint[index] = Number(isFaint(state, pair));
        floating.push(pair);
        continue;
      }
      alike[index] = index;
      faint[index] = 0;
      const between = potentialOf(state, a) - potentialOf(state, b);
      values[index] = (Math.abs(between) * inputOhms) / (inputOhms + ohm);
    }
  }

  #showDeadAfterTest(faults: readonly Fault[], values: Float64Array): void {
    if (this.#deadAfterTest.length === 0) return;
    const { network, potentials } = solve(this.layout, faults, this.#none);
    for (const { index, outlet } of this.#deadAfterTest) {
      const [hot, neutral] = this.layout.outlets[outlet - 1]!.slot;
      const between = Math.abs(potentials[hot]! - potentials[neutral]!);
      const volts = (between * deadLampOhm) / (deadLampOhm + network.resistance(hot, neutral));
      values[index] = Number(volts < readingLimits.deadWithLamp.value);
    }
  }

  #showCordEnd(faults: readonly Fault[], stand: Stand): void {
    if (this.#cordEnd.length === 0) return;
    const network = this.layout.meshes.take();
    wire(this.layout, faults, { supplied: true, cordIn: false, contacts: this.#none }, network);
    network.eliminate();
    this.#read(this.#cordEnd, { network, potentials: network.potentials(this.circuit.supply.volts) }, stand);
  }

  #sort(test: Test, index: number): void {
    if (test.test === 'observation') {
      if (test.what === 'supply-holds') this.#supplyHolds.push(index);
      else if (test.what === 'gfci-resets') this.#resets.push(index);
      else {
        const outlet = outletOf(test.at)!;
        if (test.what === 'dead-when-tripped') this.#deadAfterTest.push({ index, outlet });
        else if (test.what === 'three-lamp') this.#lamps.push({ index, outlet });
        else this.#loadAt(outlet, test.amps).holds.push(index);
      }
      return;
    }
    const state = test.test === 'resistance' ? 'dead' : 'live';
    const [from, to] = [parsePoint(this.circuit, test.from)!, parsePoint(this.circuit, test.to)!];
    const inputOhms = ('inputOhms' in test ? test.inputOhms : undefined) ?? this.meter.inputOhms;
    const beside = [from, to].flatMap((point) => nodesBeside(this.layout, point));
    const pair = {
      index,
      a: nodeAt(this.layout, from, state),
      b: nodeAt(this.layout, to, state),
      inputOhms,
      beside: from.at === 'earth' || to.at === 'earth' ? [] : beside,
    };
    if (test.test === 'resistance') this.#dead.push(pair);
    else if (test.test === 'loaded-voltage') this.#loadAt(outletOf(test.from)!, test.amps).pairs.push(pair);
    else if (from.at === 'connector' || to.at === 'connector') this.#cordEnd.push(pair);
    else this.#live.push(pair);
  }

  #loadAt(outlet: number, amps: number) {
    const key = `${outlet} ${amps}`;
    let load = this.#loads.get(key);
    if (load === undefined) {
      load = { outlet, ohm: this.circuit.supply.volts / amps, pairs: [], holds: [] };
      this.#loads.set(key, load);
    }
    return load;
  }
}

type Solved = Pick<LiveState, 'network' | 'potentials'>;

const potentialOf = ({ potentials }: Solved, node: number) => (node < 0 ? 0 : potentials[node]!);

/** Two nodes of one conductor: joined, and not through the source. True earth, which a lead of its own reaches, is like nothing else. */
function isOneConductor(state: Solved, a: number, b: number): boolean {
  if (a < 0 || b < 0) return a === b;
  return (
    Math.abs(potentialOf(state, a) - potentialOf(state, b)) < oneConductorVolts &&
    state.network.resistance(a, b) < floatingOhm
  );
}

/** More than any conductor drops between two of its points under a load. */
const oneConductorVolts = 20;

/** No conductor beside a floating one carries volts, so none couple into it. */
function isFaint(state: Solved, { beside }: Pair): boolean {
  return beside.length > 0 && beside.every((node) => Math.abs(potentialOf(state, node)) < oneConductorVolts);
}

function betweenTheSame(state: Solved, one: Pair, other: Pair): boolean {
  const is = (a: number, b: number) => isOneConductor(state, a, b);
  return (is(one.a, other.a) && is(one.b, other.b)) || (is(one.a, other.b) && is(one.b, other.a));
}
