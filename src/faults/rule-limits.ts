import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import { type Judgement, judgeAgainstLimit, type LimitVerdict } from '../meter/judge.js';
import { readingLimits } from '../trade/reading-limits.js';
import { mostVolts } from './as-met.js';
import type { Measured } from './taken.js';

export type Limits = Pick<Judgement, 'upper' | 'lower'>;

/** What the rules ask of the dead readings, Ω. */
export const deadLimits = {
  groundPath: { upper: readingLimits.groundPath.value },
  bond: { upper: readingLimits.bond.value },
  through: { upper: readingLimits.through.value },
  apart: { lower: readingLimits.isolation.value },
} as const satisfies Record<string, Limits>;

/** What the rules ask of the live readings on this circuit's supply, V. */
export function liveLimits(circuit: ElectricalCircuit) {
  const { supply } = circuit;
  return {
    chassisToEarth: { upper: readingLimits.chassisToEarth.value },
    neutralGround: { upper: readingLimits.neutralGround.value },
    slot: { lower: readingLimits.slotShareOfSupply.value * supply.volts, upper: mostVolts(circuit) },
    loaded: { lower: (1 - readingLimits.drop.value / 100) * supply.volts },
  } as const satisfies Record<string, Limits>;
}

/**
 * Two conductors that should lie apart. Where electronics of a device may stand between them (`electronics`), ohms too few are
 * unproven: only a plain short is no electronics.
 */
export function judgeApart(read: Measured, electronics: boolean): LimitVerdict {
  const verdict = judgeAgainstLimit({ ...read, ...deadLimits.apart });
  if (verdict !== 'fail' || !electronics) return verdict;
  const short = { lower: readingLimits.isolationWithElectronics.value };
  return judgeAgainstLimit({ ...read, ...short }) === 'fail' ? 'fail' : 'unproven';
}
