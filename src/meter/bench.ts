import { readingLimits } from '../trade/reading-limits.js';
import { type ElectricalCircuit, loadOhm } from './electrical-circuit.js';
import type { Fault } from './fault.js';
import { type Layout, layOut, nodeAt, nodesBeside, nowhere } from './layout.js';
import { type Read, solve } from './live-state.js';
import { floatingOhm, lowImpedanceOhm, type Meter } from './meter.js';
import { wire } from './network.js';
import { outletOf, parsePoint } from './point.js';
import { distinctPostures, type Posture, posturesOf, withFallsUnderLoad } from './postures.js';
import { loadedOutlet, type Test } from './readings-file.js';
import { supplyRange, weakLoopOhm } from './supply-as-met.js';
import { lampsOfTest } from './three-lamp.js';

/** From this on, A, what the supply loses on its own way tells: half an ohm of it is a volt. */
const heavyA = 2;
/** The lamp that stands in an outlet while TEST is pressed, Ω. */
const deadLampOhm = 30_000;
/** Half of a stiff supply's loop, Ω. */
const stiffOhm = 1e-3;

/**
 * What each test shows with certain faults, before any meter's error: Ω (Infinity where nothing joins the points), V, or 1
 * for yes and 0 for no (three lamps: bits 4, 2, 1 for hot–neutral, hot–ground, neutral–ground). NaN where the point floats
 * or the answer cannot be said. `others` are the other ways in which breaker and devices may stand.
 */
export interface Shows extends Stand {
  readonly others: readonly Stand[];
  /** The dead readings where joints are good while no current flows through them; absent where none is poor. */
  readonly atRest?: Float64Array | undefined;
}

/** One way in which breaker and devices may stand. */
export interface Stand {
  readonly values: Float64Array;
  /** For each reading of a floating point: the first one between the same two conductors, which shows the same; else its own index. */
  readonly alike: Int16Array;
  /** 1 for each reading of a floating point beside which nothing carries volts: what couples into it is far from the supply's. */
  readonly faint: Uint8Array;
  /** What a weak supply shows where `values` are a stiff one's: of any supply between, all volts lie on the straight line between. */
  readonly weak?: Float64Array;
  /** What a stiff supply shows under load where `values` are the circuit's own: a supply that is met is often stiffer than it was taken for. */
  readonly stiff?: Float64Array;
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
  readonly #stiff: Layout;
  readonly #weak: Layout;
  readonly #dead: Pair[] = [];
  readonly #live: Pair[] = [];
  readonly #cordEnd: Pair[] = [];
  readonly #loads: { outlet: number; amps: number; ohm: number; pairs: Pair[]; holds: number[] }[] = [];
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
    this.#stiff = { ...this.layout, supplyOhm: stiffOhm };
    this.#weak = { ...this.layout, supplyOhm: Math.max(weakLoopOhm / 2, 2 * this.layout.supplyOhm) };
    this.#none = circuit.run.map(() => false);
    for (const [index, test] of tests.entries()) this.#sort(test, index);
    this.#anyLive = tests.some((t) => t.test !== 'resistance');
  }

  /** All tests with these faults. */
  shows(faults: readonly Fault[]): Shows {
    const values = new Float64Array(this.tests.length).fill(Number.NaN);
    this.showDead(faults, values);
    return { ...this.showLive(faults, values), atRest: this.atRest(faults) };
  }

  /** The dead tests where joints are good at rest, and only a load shows them; undefined where none is poor. */
  atRest(faults: readonly Fault[]): Float64Array | undefined {
    if (!faults.some(isJoint)) return undefined;
    const values = new Float64Array(this.tests.length);
    this.showDead(
      faults.filter((f) => !isJoint(f)),
      values,
    );
    return values;
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
    const base: Stand = { values, alike, faint: new Uint8Array(values.length) };
    if (!this.#anyLive) return { ...base, others: [] };
    this.layout.meshes.giveBack();
    this.#showCordEnd(faults, base);
    const { postures, closedA } = posturesOf(this.layout, faults, this.#loads);
    const [own, ...others] = postures.map((p) => this.#stand(this.layout, faults, p, base));
    if (closedA < heavyA) return { ...own!, others, ...this.#onStiffSupply(faults, postures[0]!, own!) };
    return { ...own!, others: [...others, ...this.#onOtherSupplies(faults, postures, base)] };
  }

  /**
   * A path that draws amps is shown by how stiff the supply is: breaker and devices stand as they may on the stiffest or the weakest
   * that is met, and each stand is read on both.
   */
  #onOtherSupplies(faults: readonly Fault[], nominal: readonly Posture[], base: Stand): Stand[] {
    const ends = [
      { layout: this.#stiff, share: supplyRange.most },
      { layout: this.#weak, share: supplyRange.least },
    ];
    const met = ends.flatMap((e) => posturesOf(e.layout, faults, this.#loads, e.share).postures);
    return distinctPostures(withFallsUnderLoad([...nominal, ...met])).map((posture) => {
      const stiff = this.#stand(this.#stiff, faults, posture, base);
      if (!posture.breakerHolds) return stiff;
      return { ...stiff, weak: this.#stand(this.#weak, faults, posture, base).values };
    });
  }

  /** What loads show on a stiff supply, with breaker and devices as they stand. */
  #onStiffSupply(faults: readonly Fault[], posture: Posture, own: Stand): Pick<Stand, 'stiff'> {
    if (!this.#loads.some((load) => load.pairs.length > 0)) return {};
    const values = own.values.slice();
    this.#loads.forEach((load, k) => {
      const under = posture.loaded[k];
      if (under?.breakerHolds !== true) return;
      this.#read(load.pairs, solve(this.#stiff, faults, under.contacts, load), { ...own, values });
    });
    return { stiff: values };
  }

  /** All live tests with breaker and devices as they stand in `posture`. */
  #stand(layout: Layout, faults: readonly Fault[], posture: Posture, base: Stand): Stand {
    const stand = { values: base.values.slice(), alike: base.alike.slice(), faint: base.faint.slice() };
    const { values } = stand;
    const solved = posture.solved?.layout === layout ? posture.solved : undefined;
    for (const i of this.#supplyHolds) values[i] = Number(posture.breakerHolds);
    for (const i of this.#resets) values[i] = posture.resets;
    if (posture.breakerHolds) {
      this.#read(this.#live, solved?.free ?? solve(layout, faults, posture.contacts), stand);
      this.#showDeadAfterTest(layout, faults, values);
    } else for (const { index } of this.#live) values[index] = 0;
    for (const { index, outlet } of this.#lamps)
      values[index] = posture.breakerHolds ? lampsOfTest(layout, faults, posture.contacts, outlet) : 0;
    this.#loads.forEach((load, k) => {
      const under = posture.loaded[k];
      for (const i of load.holds) values[i] = under?.holds ?? 0;
      if (under?.breakerHolds === true)
        this.#read(load.pairs, solved?.loaded[k] ?? solve(layout, faults, under.contacts, load), stand);
      else for (const { index } of load.pairs) values[index] = 0;
    });
    return stand;
  }

  #read(pairs: readonly Pair[], state: Read, { values, alike, faint }: Stand): void {
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

  #showDeadAfterTest(layout: Layout, faults: readonly Fault[], values: Float64Array): void {
    if (this.#deadAfterTest.length === 0) return;
    const { network, potentials } = solve(layout, faults, this.#none);
    for (const { index, outlet } of this.#deadAfterTest) {
      const [hot, neutral] = layout.outlets[outlet - 1]!.slot;
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
    else if (test.test === 'loaded-voltage')
      this.#loadAt(loadedOutlet(this.circuit, test.from)!, test.amps).pairs.push(pair);
    else if (from.at === 'connector' || to.at === 'connector') this.#cordEnd.push(pair);
    else this.#live.push(pair);
  }

  #loadAt(outlet: number, amps: number) {
    let load = this.#loads.find((l) => l.outlet === outlet && l.amps === amps);
    if (load === undefined) {
      load = { outlet, amps, ohm: loadOhm(this.circuit, amps), pairs: [], holds: [] };
      this.#loads.push(load);
    }
    return load;
  }
}

/** More than this, Ω, is no joint that a load's current could part from a sound one: it shows at rest. */
const mostRestedOhm = 20;

/** A joint that a load's current flows through, in the van or its cord: what may read well while nothing does. */
function isJoint(fault: Fault): boolean {
  if (fault.fault !== 'high-resistance' || !('conductor' in fault)) return false;
  return fault.conductor !== 'ground' && fault.ohms <= mostRestedOhm;
}

const potentialOf = ({ potentials }: Read, node: number) => (node < 0 ? 0 : potentials[node]!);

/** Two nodes of one conductor: joined, and not through the source. True earth, which a lead of its own reaches, is like nothing else. */
function isOneConductor(state: Read, a: number, b: number): boolean {
  if (a < 0 || b < 0) return a === b;
  return (
    Math.abs(potentialOf(state, a) - potentialOf(state, b)) < oneConductorVolts &&
    state.network.resistance(a, b) < floatingOhm
  );
}

/** More than any conductor drops between two of its points under a load. */
const oneConductorVolts = 20;

/** No conductor beside a floating one carries volts, so none couple into it. */
function isFaint(state: Read, { beside }: Pair): boolean {
  return beside.length > 0 && beside.every((node) => Math.abs(potentialOf(state, node)) < oneConductorVolts);
}

function betweenTheSame(state: Read, one: Pair, other: Pair): boolean {
  const is = (a: number, b: number) => isOneConductor(state, a, b);
  return (is(one.a, other.a) && is(one.b, other.b)) || (is(one.a, other.b) && is(one.b, other.a));
}
