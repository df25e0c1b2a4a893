import { expect, test } from 'vitest';
import { gfciTripSeconds, gfciTripTimes } from '../../src/trade/gfci-curve.js';
import { connectorPullPounds, terminalPullPounds } from '../../src/trade/pull-force.js';
import { readingLimits } from '../../src/trade/reading-limits.js';
import { breakerTrip } from '../../src/trade/trip-time.js';

// UL 943: T = (20/I)^1.43, against the rows that are commonly printed.
test.each(gfciTripTimes.rows)('the curve gives $seconds s at $milliamps mA', ({ milliamps, seconds }) => {
  const half = milliamps <= 10 ? 0.005 : 0.0005; // printed to two places, from 20 mA on to three
  expect(Math.abs(gfciTripSeconds(milliamps)! - seconds)).toBeLessThanOrEqual(half);
});

test.each([5.9, 0, -6, 264.1, Number.NaN])('the curve says nothing at %f mA', (milliamps) => {
  expect(gfciTripSeconds(milliamps)).toBeUndefined();
});

// UL 486A, three makers' sheets alike; UL 486E Table 22, one catalogue.
test.each([
  [18, 20, 6.75],
  [16, 30, 9],
  [14, 50, 11.5],
  [12, 70, 13.5],
  [10, 80, 18],
  [8, 90, 20.5],
  [6, 100, undefined],
])('%i AWG holds %i lbf in a connector and %s lbf in a terminal', (awg, connector, terminal) => {
  expect(connectorPullPounds(awg)).toBe(connector);
  expect(terminalPullPounds(awg)).toBe(terminal);
});

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
