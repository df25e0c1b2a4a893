import { readingLimits } from '../trade/reading-limits.js';
import { isGroundFaultDevice } from './electrical-circuit.js';
import type { Fault } from './fault.js';
import type { Layout } from './layout.js';
import { type Setting, wire } from './network.js';
import type { StarMesh } from './star-mesh.js';
import { supplyRange } from './supply-as-met.js';

/** The supply's breaker opens above this many times the rating of the van's breaker, or of the inlet where it has none. */
const breakerFactor = 5;
/** What a ground-fault device needs to hold. @source circuit model; UL 943 Class A for the 5 mA */
const leastVolts = 85;
const mostImbalanceA = 0.005;
const leastNeutralGroundOhm = 4;
/** Behind a device, a path from neutral to ground of less than this takes more than it bears where the supply's neutral is lifted over ground by what its rule lets pass. */
const liftedOhm = readingLimits.neutralGround.value / mostImbalanceA;
/** What may lead from neutral to ground behind a device, through a load too. */
const joining: ReadonlySet<Fault['fault']> = new Set(['joined', 'swapped', 'face-swapped']);
/** Below this LINE counts as having no volts at all: a device latched in service may then still be closed. */
const noVolts = 5;

/** How breaker and devices stand once the cord is in, and the network as it stands when the breaker holds. */
export interface LiveState extends Read {
  readonly breakerHolds: boolean;
  /** For each outlet: the contacts of its device are closed. */
  readonly contacts: readonly boolean[];
  /** Every ground-fault device holds. */
  readonly holds: boolean;
  /** Contacts as they may stand as well: latched without volts at LINE, or a threshold too near to call. */
  readonly otherContacts: readonly boolean[] | undefined;
  /** What the supply is asked for with every contact closed, A: what its breaker is asked with. */
  readonly closedA: number;
}

export interface LoadAt {
  readonly outlet: number;
  readonly ohm: number;
}

/**
 * Asks in the model's order what holds: the supply's breaker with every contact closed, then each device from the supply
 * outwards (volts at LINE, LINE and LOAD reversed, imbalance, neutral and ground joined behind it). `supplyShare` is what the
 * supply's volts may be of the nominal when its breaker is asked.
 */
export function settle(layout: Layout, faults: readonly Fault[], load?: LoadAt, supplyShare = 1): LiveState {
  const { circuit } = layout;
  const contacts = circuit.run.map(() => true);
  let solved = solve(layout, faults, contacts, load);
  const limitA = breakerFactor * (circuit.breaker?.amps ?? circuit.inlet.amps);
  const closedA = Math.abs(solved.network.sourceCurrent(circuit.supply.volts, solved.potentials));
  if (closedA * supplyShare > limitA) {
    const open = contacts.map(() => false);
    return {
      breakerHolds: false,
      contacts: open,
      holds: false,
      otherContacts: undefined,
      closedA,
      ...solved,
    };
  }
  let other: boolean[] | undefined;
  let holds = true;
  for (let outlet = 1; outlet <= contacts.length; outlet++) {
    if (!isGroundFaultDevice(circuit, outlet)) continue;
    const asked = askDevice({ layout, faults, contacts, outlet, solved, load });
    if (asked.near || (!asked.holds && asked.lineVolts < noVolts)) {
      other ??= [...contacts];
      other[outlet - 1] = !asked.holds;
    } else if (other !== undefined) other[outlet - 1] = asked.holds;
    if (asked.holds) continue;
    holds = false;
    contacts[outlet - 1] = false;
    solved = solve(layout, faults, contacts, load);
  }
  return { breakerHolds: true, contacts, holds, otherContacts: other, closedA, ...solved };
}

/** A network that can be read. */
export interface Read {
  readonly network: StarMesh;
  readonly potentials: Float64Array;
}

interface Solved extends Read {
  /** Closed poles: outlet, node on the LINE side, node beyond, Ω between the two. */
  readonly poles: readonly number[];
}

/** The live circuit solved for one stand of the contacts. */
export function solve(
  layout: Layout,
  faults: readonly Fault[],
  contacts: readonly boolean[],
  load?: LoadAt,
): Solved {
  const setting: Setting = { supplied: true, cordIn: true, contacts, load };
  const network = layout.meshes.take();
  const poles: number[] = [];
  wire(layout, faults, setting, {
    join: (a, b, ohm) => network.join(a, b, ohm),
    contact: (outlet, a, b, ohm) => poles.push(outlet, a, b, ohm),
  });
  network.eliminate();
  return { network, potentials: network.potentials(layout.circuit.supply.volts), poles };
}

interface Asked {
  readonly layout: Layout;
  readonly faults: readonly Fault[];
  readonly contacts: readonly boolean[];
  readonly outlet: number;
  readonly solved: Solved;
  readonly load: LoadAt | undefined;
}

function askDevice({ layout, faults, contacts, outlet, solved, load }: Asked) {
  const { line, load: screws } = layout.outlets[outlet - 1]!;
  const { potentials, poles } = solved;
  const lineVolts = Math.abs(potentials[line[0]]! - potentials[line[1]]!);
  const open = contacts.map((closed, k) => closed && k !== outlet - 1);
  const openLineVolts = () => {
    const { potentials: v } = solve(layout, faults, open, load);
    return Math.abs(v[line[0]]! - v[line[1]]!);
  };
  if (lineVolts < leastVolts) {
    // What sags only once the contacts close, a device may ride out that was reset before the load came.
    const near = isNearBySupply(lineVolts, leastVolts) || openLineVolts() >= leastVolts;
    return { holds: false, near, lineVolts };
  }
  const at = `outlet${outlet}`;
  if (faults.some((f) => f.fault === 'line-load-reversed' && f.where === at))
    return { holds: false, near: false, lineVolts };
  let imbalanceA = 0;
  for (let i = 0; i < poles.length; i += 4) {
    if (poles[i] === outlet)
      imbalanceA += (potentials[poles[i + 1]!]! - potentials[poles[i + 2]!]!) / poles[i + 3]!;
  }
  imbalanceA = Math.abs(imbalanceA);
  if (imbalanceA > mostImbalanceA)
    return { holds: false, near: isNearBySupply(imbalanceA, mostImbalanceA), lineVolts };
  const near = isNearBySupply(imbalanceA, mostImbalanceA) || isNearBySupply(lineVolts, leastVolts);
  if (!faults.some((f) => joining.has(f.fault))) return { holds: true, near, lineVolts };
  const behind = [screws[1], ...faceNeutral(poles, outlet, line[1], screws[1])];
  const { network } = solve(layout, faults, open, load);
  const joinedOhm = Math.min(...behind.map((node) => network.resistance(node, line[2])));
  return {
    holds: joinedOhm >= leastNeutralGroundOhm,
    near: near || joinedOhm < liftedOhm,
    lineVolts,
  };
}

/** The slot that the device's neutral pole feeds, where it feeds one. */
function faceNeutral(poles: readonly number[], outlet: number, line: number, screw: number): number[] {
  const found: number[] = [];
  for (let i = 0; i < poles.length; i += 4) {
    if (poles[i] === outlet && poles[i + 1] === line && poles[i + 2] !== screw) found.push(poles[i + 2]!);
  }
  return found;
}

/** Volts or amps that some supply or other brings to the threshold's other side. */
function isNearBySupply(value: number, threshold: number): boolean {
  const { least, most } = supplyRange;
  return value * least < threshold && value * most > threshold;
}
