import type { Meter } from './meter.js';

type MeteredTest = 'resistance' | 'voltage' | 'loaded-voltage';

/**
 * The meter's stated error at a shown value, in the unit of the value (Ω or V): percent of reading plus counts of the
 * range's last digit. The ohms range grows with the reading and keeps four digits.
 */
export function uncertainty(
  meter: Meter,
  shown: { readonly test: MeteredTest; readonly value: number },
): number {
  const { percent, counts } = shown.test === 'resistance' ? meter.ohms : meter.volts;
  return (percent / 100) * shown.value + counts * lastDigit(meter, shown);
}

/** How far the difference of two values that one meter showed may be off: it errs alike in both, but for its counts. */
export function uncertaintyOfDifference(meter: Meter, test: MeteredTest, a: number, b: number): number {
  const at = (value: number) => uncertainty(meter, { test, value });
  return at(Math.abs(a - b)) + at(0);
}

/** Size of the last digit shown at a value: the stated resolution up to 9999 counts of it, then four digits. */
export function lastDigit(
  meter: Meter,
  shown: { readonly test: MeteredTest; readonly value: number },
): number {
  if (shown.test !== 'resistance') return meter.volts.resolution;
  let digit = meter.ohms.resolution;
  while (shown.value >= digit * 10_000) digit *= 10;
  return digit;
}
