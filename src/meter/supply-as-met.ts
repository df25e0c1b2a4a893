import { readingLimits } from '../trade/reading-limits.js';

/** Supplies as one meets them, which a circuit file gives as nominal. */

/** The volts for which the limits of a supply are given. */
export const nominalVolts = 120;

/** What a supply may have of its nominal volts before nobody plugs in: all that it drives goes with them. */
export const supplyRange = {
  least: readingLimits.supplyLow.value / nominalVolts,
  most: readingLimits.supplyHigh.value / nominalVolts,
} as const;

/**
 * Hot plus neutral of a long thin way from source to receptacle, Ω; a stiff one has next to none.
 * @source judgement: at an ampere of fault current a volt, the most that is met where anything runs
 */
export const weakLoopOhm = 1;
