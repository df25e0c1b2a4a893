import type { slotPairs } from '../../meter/schedule.js';
import type { PlannedReading } from '../step.js';

/** The reading of the supply's own volts, which tells what everything that it drives should show. */
export const supplyVoltsId = 'supply.hot-neutral';

/** Volts that the supply's hot drives are no more than `look` V from those of `match`; neutral to ground stands alone. */
export function ofOneSupply(
  [a]: (typeof slotPairs)[number],
  look: number,
  match = supplyVoltsId,
): Pick<PlannedReading, 'beside'> {
  return a === 'hot' ? { beside: { law: 'one-supply', match, supply: supplyVoltsId, look } } : {};
}
