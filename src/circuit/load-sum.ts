import { buildLimits } from '../trade/build-limits.js';
import { type Circuit, type Load, loadAmps } from './circuit.js';

/** A load with the outlet it is at and its current in A at 120 V. */
export interface PlacedLoad {
  readonly outlet: string;
  readonly load: Load;
  readonly amps: number;
}

/** Whether two are the same load of the circuit. */
export const isSameLoad = (a: PlacedLoad, b: PlacedLoad): boolean =>
  a.outlet === b.outlet && a.load.name === b.load.name;

/** The current of loads that are on together, A: of all, of those on for three hours and more, of those fastened in place. */
export interface LoadSum {
  readonly amps: number;
  readonly continuousAmps: number;
  readonly fastenedAmps: number;
}

/** Every load of the circuit in the order of the run. */
export function placedLoads(circuit: Circuit): PlacedLoad[] {
  return circuit.run.flatMap((o) =>
    o.loads.map((load) => ({ outlet: o.id, load, amps: loadAmps(circuit, load) })),
  );
}

export function loadSum(loads: readonly PlacedLoad[]): LoadSum {
  return {
    amps: sum(loads),
    continuousAmps: sum(loads.filter((p) => p.load.continuous)),
    fastenedAmps: sum(loads.filter((p) => p.load.fastened)),
  };
}

/** What the breaker is held to, A: loads on for three hours and more count at 125 %. Source: `buildLimits.continuousShare`. */
export function countedAmps({ amps, continuousAmps }: LoadSum): number {
  return amps + (buildLimits.continuousShare.value / 100 - 1) * continuousAmps;
}

/** The most that fastened loads may draw of a circuit with receptacles, A. Source: `buildLimits.fastenedShare`. */
export function mostFastenedAmps({ breaker }: Circuit): number {
  return (buildLimits.fastenedShare.value / 100) * breaker.amps;
}

/** What loads put on the receptacle of one outlet, A. */
export function ampsAt(loads: readonly PlacedLoad[], outlet: string): number {
  return sum(loads.filter((p) => p.outlet === outlet));
}

function sum(loads: readonly PlacedLoad[]): number {
  return loads.reduce((total, p) => total + p.amps, 0);
}
