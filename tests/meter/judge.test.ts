import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeAgainstLimit } from '../../src/meter/judge.js';

describe('a reading against a limit', () => {
  it.each([
    { value: 0.7, uncertainty: 0.2, upper: 1, verdict: 'pass' },
    { value: 0.9, uncertainty: 0.2, upper: 1, verdict: 'unproven' },
    { value: 1.1, uncertainty: 0.2, upper: 1, verdict: 'unproven' },
    { value: 1.3, uncertainty: 0.2, upper: 1, verdict: 'fail' },
    { value: 110, uncertainty: 1.4, lower: 108, verdict: 'pass' },
    { value: 108.5, uncertainty: 1.4, lower: 108, verdict: 'unproven' },
    { value: 106, uncertainty: 1.4, lower: 108, verdict: 'fail' },
  ])('$value ± $uncertainty is $verdict', ({ verdict, ...reading }) => {
    expect(judgeAgainstLimit(reading)).toBe(verdict);
  });

  it('counts over-limit only on a range that reaches the limit', () => {
    const over = { value: null, uncertainty: 0 };
    expect(judgeAgainstLimit({ ...over, lower: 1e6, overLimitAt: 4e7 })).toBe('pass');
    expect(judgeAgainstLimit({ ...over, lower: 1e6, overLimitAt: 200 })).toBe('unproven');
    expect(judgeAgainstLimit({ ...over, upper: 1, overLimitAt: 200 })).toBe('fail');
    expect(judgeAgainstLimit({ ...over, upper: 500, overLimitAt: 200 })).toBe('unproven');
  });

  it.each([
    // ISO 14253-1: conformity up to and with the guarded limit; a limit itself is still met, so it is not broken for certain.
    { value: 0.75, uncertainty: 0.25, upper: 1, verdict: 'pass' },
    { value: 1.25, uncertainty: 0.25, upper: 1, verdict: 'unproven' },
    { value: 1, uncertainty: 0, upper: 1, verdict: 'pass' },
    { value: 109, uncertainty: 1, lower: 108, verdict: 'pass' },
    { value: 107, uncertainty: 1, lower: 108, verdict: 'unproven' },
    // “More than 1 MΩ” is at least 1 MΩ, and more than 1 Ω breaks a limit of 1 Ω.
    { value: null, uncertainty: 0, lower: 1e6, overLimitAt: 1e6, verdict: 'pass' },
    { value: null, uncertainty: 0, upper: 1, overLimitAt: 1, verdict: 'fail' },
  ])('whose interval ends at the limit is $verdict: $value ± $uncertainty', ({ verdict, ...reading }) => {
    expect(judgeAgainstLimit(reading)).toBe(verdict);
  });

  it('between two limits is held to both', () => {
    const at = (value: number) => judgeAgainstLimit({ value, uncertainty: 1, lower: 104, upper: 132 });
    expect([102, 104, 105, 131, 132, 134].map(at)).toEqual([
      'fail',
      'unproven',
      'pass',
      'pass',
      'unproven',
      'fail',
    ]);
  });

  it('says unproven where nothing is limited or nothing was shown', () => {
    expect(judgeAgainstLimit({ value: 3, uncertainty: 0 })).toBe('unproven');
    expect(judgeAgainstLimit({ value: Number.NaN, uncertainty: 0, upper: 1 })).toBe('unproven');
  });

  it('never turns from fail to pass, or back, by a larger error', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 10, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        (value, error, more) => {
          const first = judgeAgainstLimit({ value, uncertainty: error, upper: 5 });
          const second = judgeAgainstLimit({ value, uncertainty: error + more, upper: 5 });
          expect([first, 'unproven']).toContain(second);
        },
      ),
    );
  });
});
