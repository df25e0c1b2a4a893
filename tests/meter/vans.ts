import type { ElectricalCircuit } from '../../src/meter/electrical-circuit.js';
import type { Meter } from '../../src/meter/meter.js';

/** A handheld multimeter of the usual accuracy. */
export const handheld: Meter = {
  ohms: { percent: 0.9, counts: 2, resolution: 0.1, overLimit: 40_000_000 },
  volts: { percent: 1, counts: 3, resolution: 0.1 },
  inputOhms: 10_000_000,
};

/** The same meter on its low-impedance range. */
export const lowImpedance: Meter = { ...handheld, inputOhms: 3000 };

/** A van with the ground-fault device first and as many outlets as asked for. */
export function van(outlets: number): ElectricalCircuit {
  return {
    supply: { volts: 120, loopOhms: 0.3 },
    cord: { awg: 12, lengthM: 7.6 },
    inlet: { amps: 15 },
    breaker: { amps: 15 },
    bond: { awg: 8, lengthM: 1 },
    run: Array.from({ length: outlets }, (_, k) => ({
      device: k === 0 ? ('gfci-receptacle' as const) : ('receptacle' as const),
      feed: { awg: 12, lengthM: k === 0 ? 3 : 2 },
    })),
  };
}
