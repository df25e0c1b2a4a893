import { numberText } from '../circuit/quantity-text.js';
import type { ElectricalCircuit } from '../meter/electrical-circuit.js';
import { nominalVolts } from '../meter/supply-as-met.js';
import { readingLimits } from '../trade/reading-limits.js';
import { mostVolts, showsOverVolts } from './as-met.js';
import type { Evidence } from './evidence.js';
import { between, Taken } from './taken.js';

/** Less than this share of the nominal volts at the supply's own slots may be a ghost, and says nothing of its volts. */
export const leastOwnShare = 0.7;

/** Beside more volts than any supply should have nothing else is asked. */
export function tooManyVolts(circuit: ElectricalCircuit, { readings, bench }: Evidence): string | undefined {
  if (!showsOverVolts(circuit, new Taken(readings, bench.meter))) return undefined;
  return `Is this an outlet for 240 V with two hots, or a supply that lost its neutral? No wire of a van makes more than ${numberText(mostVolts(circuit), 0)} V: keep the van away from it and tell whoever keeps it, before any suspect is looked for.`;
}

/** What is asked of a supply that is off the volts that the circuit gives it, at its own slots where they were read. */
export function offVolts(circuit: ElectricalCircuit, { readings, supplyShare, bench }: Evidence): string[] {
  const { volts } = circuit.supply;
  const own = readings.flatMap((r) =>
    r.test === 'voltage' && between(r, 'supply.hot', 'supply.neutral') && r.volts > leastOwnShare * volts
      ? [r.volts]
      : [],
  );
  const shown = own[0] ?? supplyShare * bench.circuit.supply.volts;
  const share = shown / volts;
  const { supplyGoodLow, supplyGoodHigh } = readingLimits;
  if (share >= supplyGoodLow.value / nominalVolts && share <= supplyGoodHigh.value / nominalVolts) return [];
  const about = `${numberText(shown, 0)} V of ${numberText(volts, 0)} V`;
  const lost =
    shown < (readingLimits.supplyLow.value / nominalVolts) * volts
      ? ' A supply that lost its neutral shows too little at one outlet and too much at the next: plug nothing in, and tell whoever keeps it.'
      : '';
  return [
    own.length > 0
      ? `Is there another supply? This one shows about ${about} at its own slots: what that leaves too ${share < 1 ? 'little' : 'much'} of in the van is not the van’s.${lost}`
      : `Is the supply itself off? The slots show about ${about}: with the cord out, read hot to neutral at the supply’s own slots.`,
  ];
}
