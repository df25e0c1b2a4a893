import { bondOhm, conductorOhm, contactOhm } from '../circuit/conductor.js';
import { type ElectricalCircuit, isGroundFaultDevice } from './electrical-circuit.js';
import type { Point } from './point.js';
import { earthNode, MeshPool } from './star-mesh.js';

/** Node numbers of hot, neutral and ground at one place, in that order. */
export type Terminals = readonly [number, number, number];

/** The nodes and the sound resistances of one outlet. On a plain receptacle `line` and `load` are one pair of screws. */
export interface OutletLayout {
  readonly device: boolean;
  readonly slot: Terminals;
  readonly line: Terminals;
  readonly load: Terminals;
  readonly feedOhm: Terminals;
  readonly feedLengthM: number;
}

/** A circuit made ready for the solver: a number for every node, ohms for every length. */
export interface Layout {
  readonly circuit: ElectricalCircuit;
  readonly nodes: number;
  readonly supply: Terminals;
  /** The cord's far end: on the inlet when plugged in, a piece by itself when not. */
  readonly connector: Terminals;
  readonly inlet: Terminals;
  readonly chassis: number;
  readonly outlets: readonly OutletLayout[];
  readonly supplyOhm: number;
  readonly cordOhm: number;
  readonly bondOhm: number;
  /** Memory for the networks that are drawn from this layout. */
  readonly meshes: MeshPool;
}

/** A point that is not part of the network that a test is taken on. */
export const nowhere = -3;

/** Numbers the nodes from the slots inwards to the supply, so that the solver's mesh stays small. */
export function layOut(circuit: ElectricalCircuit): Layout {
  const { temperatureC } = circuit;
  let next = 0;
  const three = (): Terminals => [next++, next++, next++];
  const slots = circuit.run.map(three);
  const chassis = next++;
  const outlets: OutletLayout[] = [];
  for (let k = circuit.run.length; k >= 1; k--) outlets.unshift(outletLayout(k));
  const inlet = three();
  const connector = three();
  const supply = three();
  return {
    circuit,
    nodes: next,
    supply,
    connector,
    inlet,
    chassis,
    outlets,
    supplyOhm: Math.max(circuit.supply.loopOhms / 2, 1e-6),
    cordOhm: conductorOhm({ ...circuit.cord, temperatureC }),
    bondOhm: bondOhm({ ...circuit.bond, temperatureC }),
    meshes: new MeshPool(next),
  };

  function outletLayout(k: number): OutletLayout {
    const { feed } = circuit.run[k - 1]!;
    const device = isGroundFaultDevice(circuit, k);
    const load: readonly [number, number] = device ? [next++, next++] : [-1, -1];
    const line = three();
    const before = k === 1 ? circuit.inletWire : undefined;
    const wire =
      conductorOhm({ ...feed, temperatureC }) + (before ? conductorOhm({ ...before, temperatureC }) : 0);
    // The wire leaves a splice or a bridged pair of screws at the outlet before; LOAD screws are no splice. The van's
    // breaker is one more closed contact in the hot.
    const screws = k > 1 && !isGroundFaultDevice(circuit, k - 1) ? contactOhm : 0;
    const breaker = k === 1 && circuit.breaker !== null ? contactOhm : 0;
    return {
      device,
      slot: slots[k - 1]!,
      line,
      load: device ? [load[0], load[1], line[2]] : line,
      feedOhm: [wire + screws + breaker, wire + screws, wire + (k > 1 ? contactOhm : 0)],
      feedLengthM: feed.lengthM + (before?.lengthM ?? 0),
    };
  }
}

/** The node that a probe at a point touches: `dead` with the cord unplugged and away, `live` with it in. */
export function nodeAt(layout: Layout, point: Point, state: 'dead' | 'live'): number {
  if (point.at === 'chassis') return layout.chassis;
  if (point.at === 'earth') return state === 'live' ? earthNode : nowhere;
  const pole = point.conductor === 'hot' ? 0 : point.conductor === 'neutral' ? 1 : 2;
  switch (point.at) {
    case 'inlet':
      return layout.inlet[pole];
    case 'supply':
      return state === 'live' ? layout.supply[pole] : nowhere;
    case 'plug':
      return state === 'dead' ? layout.supply[pole] : nowhere;
    case 'connector':
      return layout.connector[pole];
    case 'outlet': {
      const outlet = layout.outlets[point.outlet - 1]!;
      return (point.part === 'slot' ? outlet.slot : outlet[point.part])[pole];
    }
  }
}

/** The nodes of all conductors that lie beside a point in its box and its cables; of the chassis the ground that it is bonded to. */
export function nodesBeside({ supply, connector, inlet, outlets, chassis }: Layout, point: Point): number[] {
  switch (point.at) {
    case 'chassis':
      return [chassis];
    case 'earth':
      return [];
    case 'supply':
    case 'plug':
      return [...supply];
    case 'inlet':
      return [...inlet];
    case 'connector':
      return [...connector];
    case 'outlet': {
      const { slot, line, load } = outlets[point.outlet - 1]!;
      return [...slot, ...line, ...load];
    }
  }
}
