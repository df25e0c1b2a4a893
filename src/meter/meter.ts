import { z } from 'zod';

/** Accuracy of one function: percent of reading plus counts of the last digit, whose size is `resolution`. */
const accuracy = z.object({
  percent: z.number().min(0).max(50),
  counts: z.number().min(0).max(1000),
  resolution: z.number().positive(),
});

/** The meter as its maker states it: ohms in Ω (over-limit above `overLimit`), volts in V, its input resistance in Ω. */
export const meterSchema = z.object({
  ohms: accuracy.extend({ overLimit: z.number().positive() }),
  volts: accuracy,
  inputOhms: z.number().positive(),
});

export type Meter = z.output<typeof meterSchema>;

/** Below this input resistance a floating point is pulled to nothing: the meter's low-impedance range. */
export const lowImpedanceOhm = 100_000;

/** Above this, two points of a live circuit are tied to each other too weakly for a reading between them to mean anything. */
export const floatingOhm = 20_000;
