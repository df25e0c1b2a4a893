import { describe, expect, it } from 'vitest';
import { lastDigit, uncertainty } from '../../src/meter/uncertainty.js';
import { handheld } from './vans.js';

describe('the meter’s error', () => {
  it.each([
    // A handheld's sheet: ±(0.8 % + 2 digits) makes 0.1 Ω read ±0.2 Ω; ±(0.7 % + 2) shows 120 V as 118.96 to 121.04.
    { percent: 0.8, counts: 2, resolution: 0.1, test: 'resistance' as const, value: 0.1, u: 0.2008 },
    { percent: 0.7, counts: 2, resolution: 0.1, test: 'voltage' as const, value: 120, u: 1.04 },
  ])('at $value is $u with ±($percent % + $counts)', ({ percent, counts, resolution, test, value, u }) => {
    const meter = {
      ohms: { percent, counts, resolution, overLimit: 4e7 },
      volts: { percent, counts, resolution },
      inputOhms: 1e7,
    };
    expect(uncertainty(meter, { test, value })).toBeCloseTo(u, 6);
  });

  it('of ohms is by the ohms that its maker states, and of volts by the volts, with a load or without', () => {
    const meter = {
      ohms: { percent: 1.2, counts: 3, resolution: 0.1, overLimit: 4e7 },
      volts: { percent: 0.5, counts: 10, resolution: 0.01 },
      inputOhms: 1e7,
    };
    expect(uncertainty(meter, { test: 'resistance', value: 100 })).toBeCloseTo(1.5, 9);
    for (const test of ['voltage', 'loaded-voltage'] as const)
      expect(uncertainty(meter, { test, value: 100 })).toBeCloseTo(0.6, 9);
  });

  it('keeps four digits of ohms as the range grows', () => {
    const digits = [0.1, 999.9, 1000, 9999, 10_000, 366_140, 5_000_000].map((value) =>
      lastDigit(handheld, { test: 'resistance', value }),
    );
    expect(digits).toEqual([0.1, 0.1, 1, 1, 10, 100, 1000]);
  });
});
