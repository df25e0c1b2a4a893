import { z } from 'zod';
import type { Circuit } from '../circuit/circuit.js';

/**
 * The "circuit" of a readings file (inlet-readings/1): what the meter's predictions need to know and no more.
 * Lengths in m, currents in A, resistances in Ω, temperatures in °C.
 */

const conductor = z.object({
  awg: z.number().int('must be a whole AWG number').min(0).max(24),
  lengthM: z.number().min(0, 'must not be negative').max(200, 'must be at most 200 m'),
});

export const electricalCircuitSchema = z.object({
  supply: z.object({
    volts: z.number().min(90, 'must be at least 90 V').max(260, 'must be at most 260 V'),
    /** Hot plus neutral, source to receptacle. */
    loopOhms: z.number().min(0, 'must not be negative').max(20, 'must be at most 20 Ω'),
  }),
  cord: conductor,
  inlet: z.object({ amps: z.number().positive('must be above 0 A').max(100) }),
  breaker: z
    .object({ amps: z.number().positive('must be above 0 A').max(100) })
    .nullable()
    .default(null),
  /** From the inlet to the breaker, where it is another cable than the first outlet's. */
  inletWire: conductor.optional(),
  bond: conductor,
  run: z
    .array(z.object({ device: z.enum(['gfci-receptacle', 'receptacle']), feed: conductor }))
    .min(1, 'needs at least one outlet')
    .max(12, 'takes at most 12 outlets'),
  /** Temperature of the copper; 20 when absent. */
  temperatureC: z.number().min(-40).max(100).optional(),
});

type AsGiven = z.output<typeof electricalCircuitSchema>;

/** As a file gives it; where the supply's own volts were read, `volts` are those, and the nominal ones stand beside them. */
export type ElectricalCircuit = AsGiven & { supply: AsGiven['supply'] & { nominalVolts?: number } };

/** The ohms of a test load: its amps are those that it draws at the nominal volts. */
export function loadOhm({ supply }: ElectricalCircuit, amps: number): number {
  return (supply.nominalVolts ?? supply.volts) / amps;
}

/** The conductors, in the order in which every table here lists them. */
export const conductors = ['hot', 'neutral', 'ground'] as const;
export type Conductor = (typeof conductors)[number];

/** True where outlet `number` (from 1) is a ground-fault device. */
export function isGroundFaultDevice(circuit: ElectricalCircuit, number: number): boolean {
  return circuit.run[number - 1]?.device === 'gfci-receptacle';
}

/** The number of the first outlet that is a ground-fault device; 0 where the circuit has none. */
export function firstGroundFaultDevice(circuit: ElectricalCircuit): number {
  return circuit.run.findIndex((_, k) => isGroundFaultDevice(circuit, k + 1)) + 1;
}

/** What of a job's circuit carries current, in the order of the run. */
export function electricalCircuit(circuit: Circuit): ElectricalCircuit {
  const { supply, cord, inlet, breaker, inletWire, bond, run } = circuit;
  return {
    supply: { volts: supply.volts, loopOhms: supply.loopOhms },
    cord: { awg: cord.awg, lengthM: cord.lengthM },
    inlet: { amps: inlet.amps },
    breaker: { amps: breaker.amps },
    ...(inletWire && { inletWire: { awg: inletWire.awg, lengthM: inletWire.lengthM } }),
    bond: { awg: bond.awg, lengthM: bond.lengthM },
    run: run.map(({ device, feed }) => ({ device, feed: { awg: feed.awg, lengthM: feed.lengthM } })),
  };
}
