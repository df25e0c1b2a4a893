import { z } from 'zod';

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
  bond: conductor,
  run: z
    .array(z.object({ device: z.enum(['gfci-receptacle', 'receptacle']), feed: conductor }))
    .min(1, 'needs at least one outlet')
    .max(12, 'takes at most 12 outlets'),
  /** Temperature of the copper; 20 when absent. */
  temperatureC: z.number().min(-40).max(100).optional(),
});

export type ElectricalCircuit = z.output<typeof electricalCircuitSchema>;

/** The conductors, in the order in which every table here lists them. */
export const conductors = ['hot', 'neutral', 'ground'] as const;
export type Conductor = (typeof conductors)[number];

/** True where outlet `number` (from 1) is a ground-fault device. */
export function isGroundFaultDevice(circuit: ElectricalCircuit, number: number): boolean {
  return circuit.run[number - 1]?.device === 'gfci-receptacle';
}

/** True where the circuit has a ground-fault device at all. */
export function hasGroundFaultDevice(circuit: ElectricalCircuit): boolean {
  return circuit.run.some((_, k) => isGroundFaultDevice(circuit, k + 1));
}
