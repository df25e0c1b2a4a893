import { expect, test } from 'vitest';
import { readingLimits } from '../../src/trade/reading-limits.js';
import { breakerTrip } from '../../src/trade/trip-time.js';

// ANSI C84.1 on a 120 V base: range B utilization, and what is usable by ranges A and B without the lighting band.
test.each([
  ['supplyLow', 104],
  ['supplyUsableLow', 108],
  ['supplyUsableHigh', 127],
] as const)('the limit %s is %i V', (id, volts) => {
  expect(readingLimits[id].value).toBe(volts);
});

// UL 489 calibration: seen once for 200 %, from memory for 135 %, no figure for the instantaneous band.
test.each([
  ['overload-200', 2, 120, 'B'],
  ['overload-135', 1.35, 3600, 'C'],
  ['magnetic-band', 120, undefined, 'D'],
] as const)('the breaker row %s is as seen', (id, low, seconds, sure) => {
  expect(breakerTrip(id)).toMatchObject({ low, source: { sure } });
  expect(breakerTrip(id).seconds).toBe(seconds);
});
