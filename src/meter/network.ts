import { contactOhm } from '../circuit/conductor.js';
import { type Conductor, conductors } from './electrical-circuit.js';
import { type Fault, joinedOhm } from './fault.js';
import type { Layout, OutletLayout, Terminals } from './layout.js';
import { earthNode, sourceNode } from './star-mesh.js';

/** Coupling of two conductors of one cable, F per metre: about 100 pF. */
const couplingFaradPerM = 100e-12;
/** The electronics of a ground-fault device across its LINE, Ω. */
const electronicsOhm = 30_000;

/** In which state the circuit is: what is plugged in, which contacts are closed, what load or lamp is in which outlet. */
export interface Setting {
  /** The supply feeds the cord. */
  readonly supplied: boolean;
  /** The cord's far end is in the inlet. */
  readonly cordIn: boolean;
  /** For each outlet: its contacts are closed (of no account on a plain receptacle). */
  readonly contacts: readonly boolean[];
  readonly load?: { readonly outlet: number; readonly ohm: number } | undefined;
  /** At which end of its length an open conductor is broken; only what floats depends on it. */
  readonly breakAt?: 'start' | 'end' | undefined;
}

/** What the wiring is drawn into. `couple` takes the stray capacitance; `contact` a closed pole of an outlet's device, with its Ω. */
interface Wiring {
  join(a: number, b: number, ohm: number): void;
  couple?(a: number, b: number, farad: number): void;
  contact?(outlet: number, a: number, b: number, ohm: number): void;
}

/** Draws the circuit with its faults into a network: every length, contact, splice and path between conductors. */
export function wire(layout: Layout, faults: readonly Fault[], setting: Setting, into: Wiring): void {
  if (setting.supplied) wireSupply(layout, faults, into);
  const cordEnd = setting.cordIn ? layout.inlet : layout.connector;
  const cordOhm: Terminals = [layout.cordOhm, layout.cordOhm, layout.cordOhm];
  wireLength({
    place: 'cord',
    from: layout.supply,
    to: cordEnd,
    ohm: cordOhm,
    lengthM: layout.circuit.cord.lengthM,
  });
  wireBond(layout, faults, into);
  wireJoined('inlet', layout.inlet);
  let from = layout.inlet;
  layout.outlets.forEach((outlet, index) => {
    const number = index + 1;
    const at = `outlet${number}`;
    const reversed = has(faults, 'line-load-reversed', at);
    const to = reversed ? outlet.load : outlet.line;
    wireLength({ place: `feed${number}`, from, to, ohm: outlet.feedOhm, lengthM: outlet.feedLengthM });
    if (outlet.device) wireDevice(outlet, number);
    else for (const pole of [0, 1, 2] as const) wireSlot(at, outlet, pole, outlet.line[pole], () => {});
    wireJoined(at, outlet.device ? [outlet.slot[0], outlet.slot[1], outlet.line[2]] : outlet.line);
    from = reversed || has(faults, 'fed-from-line', at) ? outlet.line : outlet.load;
  });
  const { load } = setting;
  if (load !== undefined) {
    const [hot, neutral] = layout.outlets[load.outlet - 1]!.slot;
    into.join(hot, neutral, load.ohm);
  }

  function wireLength(length: {
    place: string;
    from: Terminals;
    to: Terminals;
    ohm: Terminals;
    lengthM: number;
  }): void {
    const body: number[] = [];
    const end = exchange(faults, 'swapped', length.place);
    for (const pole of [0, 1, 2] as const) {
      const a = length.from[pole];
      const b = length.to[end[pole]];
      const ohm = seriesOhm(faults, length.place, conductors[pole]!);
      if (ohm !== Number.POSITIVE_INFINITY) into.join(a, b, length.ohm[pole] + ohm);
      body[pole] = ohm === Number.POSITIVE_INFINITY && setting.breakAt !== 'end' ? b : a;
    }
    if (into.couple === undefined) return;
    const farad = couplingFaradPerM * length.lengthM;
    for (const [p, q] of [
      [0, 1],
      [0, 2],
      [1, 2],
    ] as const)
      into.couple(body[p]!, body[q]!, farad);
  }

  function wireDevice(outlet: OutletLayout, number: number): void {
    const closed = setting.contacts[number - 1] === true;
    if (setting.supplied) into.join(outlet.line[0], outlet.line[1], electronicsOhm);
    for (const pole of [0, 1] as const) {
      if (closed) {
        into.join(outlet.line[pole], outlet.load[pole], contactOhm);
        into.contact?.(number, outlet.line[pole], outlet.load[pole], contactOhm);
        wireSlot(`outlet${number}`, outlet, pole, outlet.line[pole], (slot, ohm) =>
          into.contact?.(number, outlet.line[pole], slot, ohm),
        );
      }
    }
    wireSlot(`outlet${number}`, outlet, 2, outlet.line[2], () => {});
  }

  /** The way from a screw to the slot that it serves. */
  function wireSlot(
    at: string,
    outlet: OutletLayout,
    pole: 0 | 1 | 2,
    screw: number,
    done: (slot: number, ohm: number) => void,
  ): void {
    const slotPole = exchange(faults, 'face-swapped', at)[pole];
    const slot = outlet.slot[slotPole];
    if (faults.some((f) => f.fault === 'face-open' && f.where === at && f.conductor === conductors[slotPole]))
      return;
    const ohm = contactOhm + seriesOhm(faults, at, conductors[slotPole]!);
    into.join(screw, slot, ohm);
    done(slot, ohm);
  }

  function wireJoined(at: string, terminals: Terminals): void {
    for (const f of faults) {
      if (f.fault !== 'joined' || f.where !== at) continue;
      into.join(terminals[poleOf(f.conductors[0])], terminals[poleOf(f.conductors[1])], f.ohms ?? joinedOhm);
    }
  }
}

function wireSupply(layout: Layout, faults: readonly Fault[], into: Wiring): void {
  const [hot, neutral, ground] = layout.supply;
  // Its own way is hot and neutral together, as the circuit's loop is.
  const ohm = layout.supplyOhm + seriesOhm(faults, 'supply', undefined) / 2;
  if (has(faults, 'bootleg-reversed', 'supply')) {
    into.join(sourceNode, neutral, ohm);
    into.join(earthNode, hot, ohm);
    into.join(ground, neutral, contactOhm);
    return;
  }
  const end = exchange(faults, 'swapped', 'supply');
  for (const pole of [0, 1, 2] as const) {
    if (seriesOhm(faults, 'supply', conductors[pole]!) === Number.POSITIVE_INFINITY) continue;
    into.join(pole === 0 ? sourceNode : earthNode, layout.supply[end[pole]], ohm);
  }
}

function wireBond(layout: Layout, faults: readonly Fault[], into: Wiring): void {
  const ohm = seriesOhm(faults, 'bond', undefined);
  if (ohm !== Number.POSITIVE_INFINITY) into.join(layout.inlet[2], layout.chassis, layout.bondOhm + ohm);
}

/** What the faults add in series to one conductor of a length, Ω; infinite where it is open. */
function seriesOhm(faults: readonly Fault[], where: string, conductor: Conductor | undefined): number {
  let ohm = 0;
  for (const f of faults) {
    if (f.where !== where || (f.fault !== 'open' && f.fault !== 'high-resistance')) continue;
    if (('conductor' in f ? f.conductor : undefined) !== conductor) continue;
    ohm += f.fault === 'open' ? Number.POSITIVE_INFINITY : f.ohms;
  }
  return ohm;
}

/** At which terminal each conductor lands: itself, or the other where two are exchanged. */
function exchange(faults: readonly Fault[], kind: 'swapped' | 'face-swapped', where: string): Poles {
  let at = straight;
  for (const f of faults) {
    if (f.fault !== kind || f.where !== where) continue;
    const a = poleOf(f.conductors[0]);
    const b = poleOf(f.conductors[1]);
    const other = (pole: 0 | 1 | 2) => (pole === a ? b : pole === b ? a : pole);
    at = [other(at[0]), other(at[1]), other(at[2])];
  }
  return at;
}
type Poles = readonly [0 | 1 | 2, 0 | 1 | 2, 0 | 1 | 2];
const straight: Poles = [0, 1, 2];

function poleOf(conductor: Conductor): 0 | 1 | 2 {
  return conductor === 'hot' ? 0 : conductor === 'neutral' ? 1 : 2;
}

function has(faults: readonly Fault[], kind: Fault['fault'], where: string): boolean {
  for (const f of faults) if (f.fault === kind && f.where === where) return true;
  return false;
}
