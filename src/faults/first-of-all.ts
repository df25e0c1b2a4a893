import type { ReadingsFile, Test } from '../meter/readings-file.js';
import { readingLimits } from '../trade/reading-limits.js';
import { Taken } from './taken.js';

/** What comes first where the van's own metal is live. */
export const skinMayBeLive =
  'Touch no metal of the van. Unplug at the supply first, then look for the cause.';

/** What to do before anyone thinks of a wire: said where the chassis stands for certain above what asks to unplug. */
export function firstOfAll({ readings, meter }: ReadingsFile): string | undefined {
  const read = new Taken(readings, meter).volts('chassis', 'earth');
  const most = readingLimits.chassisToEarthUnplug.value;
  return read.some((m) => (m.value ?? 0) - m.uncertainty > most) ? skinMayBeLive : undefined;
}

/** The reading to go on with; where something comes first, only one that is taken with the cord out. */
export function goOnWith<T extends Pick<Test, 'test'>>(next: T | null, first: string | undefined): T | null {
  return first === undefined || next?.test === 'resistance' ? next : null;
}
