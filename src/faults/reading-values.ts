import type { Meter } from '../meter/meter.js';
import type { Reading } from '../meter/readings-file.js';
import { lampBits } from '../meter/three-lamp.js';
import { uncertainty } from '../meter/uncertainty.js';

/** What the model itself may be off by: 2 mΩ, 0.5 %, 0.1 V. */
const modelOhm = 0.002;
const modelShare = 0.005;
const modelVolts = 0.1;

/** The readings without exact repeats, in an order of their own. */
export function distinct(readings: readonly Reading[]): Reading[] {
  const byKey = new Map(readings.map((r) => [keyOf(r), r]));
  return [...byKey.keys()].sort().map((key) => byKey.get(key)!);
}

/** One text for one reading or test, whatever the order of its fields. */
function keyOf(reading: object): string {
  return JSON.stringify(
    Object.entries(reading)
      .filter(([, value]) => value !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1)),
  );
}

/** What a reading showed, as the bench counts it: Ω with Infinity for over-limit, V, 1 for yes, bits for lamps. */
export function shownValue(reading: Reading): number {
  if ('ohms' in reading) return reading.ohms ?? Number.POSITIVE_INFINITY;
  if ('volts' in reading) return reading.volts;
  return 'lamps' in reading ? lampBits(reading.lamps) : Number(reading.answer);
}

/** Half-width of what counts as right at a reading, in its unit: the meter's stated error and the model's own. */
export function errorOf(reading: Reading, meter: Meter): number {
  if ('ohms' in reading) {
    if (reading.ohms === null) return 1;
    const stated = uncertainty(meter, { test: 'resistance', value: reading.ohms });
    return stated + modelOhm + modelShare * reading.ohms;
  }
  if ('volts' in reading)
    return uncertainty(meter, { test: reading.test, value: reading.volts }) + modelVolts;
  return 0;
}
