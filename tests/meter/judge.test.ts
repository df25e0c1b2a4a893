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
