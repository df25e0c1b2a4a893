import { type Circuit, circuitSchema, feedSizes, ratings } from '../../circuit/circuit.js';
import type { ElectricalCircuit } from '../../meter/electrical-circuit.js';
import { wireSizes } from '../../trade/wire.js';

/** A circuit that can be drawn, with what a readings file does not say filled in plainly; only the pictures use it. */
export function sketchOf(electrical: ElectricalCircuit): Circuit {
  const near = <T extends number>(awg: number, sizes: readonly T[]): T =>
    sizes.reduce((best, size) => (Math.abs(size - awg) < Math.abs(best - awg) ? size : best));
  const amps = near(electrical.inlet.amps, ratings);
  const box = { volumeCm3: 300, material: 'plastic', clamps: 'internal' } as const;
  return circuitSchema.parse({
    vehicleUse: 'work-van',
    supply: { amps, loopOhms: Math.min(2, electrical.supply.loopOhms) },
    cord: {
      awg: near(electrical.cord.awg, wireSizes),
      lengthM: inRange(electrical.cord.lengthM, 0.3, 60),
      typeLetters: 'SJTW',
    },
    inlet: { amps, side: 'left', fromRearM: 1, heightM: 1, panel: 'trim-piece', behindPanel: 'not said' },
    entry: { kind: 'cord-grip', holeMm: 20 },
    breaker: { amps: near(electrical.breaker?.amps ?? amps, ratings), place: 'breaker' },
    bond: { awg: near(electrical.bond.awg, feedSizes), lengthM: inRange(electrical.bond.lengthM, 0.05, 10) },
    cable: {
      method: 'stranded-multiconductor',
      strands: 'stranded',
      insulationC: 90,
      outsideDiameterMm: 10,
      supportSpacingM: 0.4,
      supportFromBoxM: 0.2,
      bendRadiusMm: 60,
    },
    run: electrical.run.slice(0, 8).map((o, k) => ({
      id: `outlet${k + 1}`,
      place: `outlet ${k + 1}`,
      device: o.device,
      amps: 15,
      terminals: 'clamp-plate',
      feed: { awg: near(o.feed.awg, feedSizes), lengthM: inRange(o.feed.lengthM, 0.05, 30) },
      box,
    })),
  });
}

function inRange(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}
