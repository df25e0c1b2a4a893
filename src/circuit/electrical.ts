import type { Circuit } from './circuit.js';

/** The circuit as a readings file of the format inlet-readings/1 describes it. */
export interface ElectricalCircuit {
  readonly supply: { readonly volts: number; readonly loopOhms: number };
  readonly cord: { readonly awg: number; readonly lengthM: number };
  readonly inlet: { readonly amps: number };
  readonly breaker: { readonly amps: number } | null;
  readonly bond: { readonly awg: number; readonly lengthM: number };
  readonly run: readonly {
    readonly device: 'gfci-receptacle' | 'receptacle';
    readonly feed: { readonly awg: number; readonly lengthM: number };
  }[];
}

/** What of a job's circuit carries current, in the order of the run. */
export function electricalCircuit(circuit: Circuit): ElectricalCircuit {
  return {
    supply: { volts: circuit.supply.volts, loopOhms: circuit.supply.loopOhms },
    cord: { awg: circuit.cord.awg, lengthM: circuit.cord.lengthM },
    inlet: { amps: circuit.inlet.amps },
    breaker: { amps: circuit.breaker.amps },
    bond: { awg: circuit.bond.awg, lengthM: circuit.bond.lengthM },
    run: circuit.run.map((o) => ({
      device: o.device,
      feed: { awg: o.feed.awg, lengthM: o.feed.lengthM },
    })),
  };
}
