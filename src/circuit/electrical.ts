import type { Circuit } from './circuit.js';

/** The circuit as a readings file of the format inlet-readings/1 describes it. */
export interface ElectricalCircuit {
  supply: { volts: number; loopOhms: number };
  cord: { awg: number; lengthM: number };
  inlet: { amps: number };
  breaker: { amps: number } | null;
  bond: { awg: number; lengthM: number };
  run: {
    device: 'gfci-receptacle' | 'receptacle';
    feed: { awg: number; lengthM: number };
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
