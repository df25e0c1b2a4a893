import type { ReadingsFile, Test } from '../meter/readings-file.js';
import { readingLimits } from '../trade/reading-limits.js';
import type { Answer } from './diagnose.js';
import { nextReading } from './next-reading.js';
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

/**
 * The reading to go on with: where something comes first only one that is taken with the cord out, and no load at an outlet
 * while what the readings point to is more than a poor joint, for a pole or a ground may be wrong there.
 */
export function goOnWith(file: ReadingsFile, { nextReading: asked, suspects }: Answer): Test | null {
  if (asked === null || asked.test === 'resistance') return asked;
  if (firstOfAll(file) !== undefined) return null;
  const wrong = suspects.some((s) => s.faults.some((f) => f.fault !== 'high-resistance'));
  const may = (test: Test) => !(wrong && 'amps' in test);
  return may(asked) ? asked : nextReading(file.circuit, new Taken(file.readings, file.meter), suspects, may);
}
