import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lastDigit, uncertainty, uncertaintyOfDifference } from '../../src/meter/uncertainty.js';
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

  it('of a difference is its share of it and the counts of both, whatever the meter does within what is stated of it', () => {
    const value = fc.double({ min: 0, max: 140, noNaN: true });
    // Between its ends it errs less.
    const share = fc.constantFrom(-1, 1);
    fc.assert(
      fc.property(value, value, share, share, share, (a, b, gain, one, other) => {
        const { percent, counts, resolution } = handheld.volts;
        const real = (shown: number, off: number) =>
          shown + (gain * percent * shown) / 100 + off * counts * resolution;
        const apart = Math.abs(real(a, one) - real(b, other) - (a - b));
        const most = uncertaintyOfDifference(handheld, 'voltage', a, b);
        expect(apart).toBeLessThanOrEqual(most + 1e-9);
        // One meter is as wrong at the one as at the other: far less than both errors together.
        expect(most).toBeLessThanOrEqual((percent / 100) * Math.abs(a - b) + 2 * counts * resolution + 1e-9);
      }),
    );
  });
});
