import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  fromSi,
  inSi,
  inUnit,
  isOverRange,
  limitInUnit,
  notANumber,
  parseDecimal,
  quantities,
  unitFactor,
} from '../../src/circuit/units.js';

test('a temperature has its zero elsewhere in °F, and a rise has none', () => {
  expect(inSi('temperature', 212, '°F')).toBeCloseTo(100, 9);
  expect(fromSi('temperature', -40, '°F')).toBeCloseTo(-40, 9);
  expect(inUnit('temperature-rise', 30, '°F')).toBe('54 °F');
  expect(inSi('length', 1, '°F')).toBeUndefined();
  expect(() => fromSi('length', 1, '°F')).toThrow(RangeError);
});

test('a measure is said as finely as a rule or a calliper shows it', () => {
  expect(inUnit('length', 2.4 * 0.0254, 'mm')).toBe('61 mm');
  expect(inUnit('length', 0.2 * 0.3048, 'cm')).toBe('6.1 cm');
  expect(inUnit('diameter', 22.225, 'mm')).toBe('22.2 mm');
  expect(inUnit('volume', 21 * 16.387064, 'cm3')).toBe('344 cm3');
});

test('whoever keeps to a limit as it is printed keeps to the limit', () => {
  expect(limitInUnit('length', 2.4 * 0.0254, 'mm', 'most')).toBe('60.9 mm');
  expect(limitInUnit('length', 2.4 * 0.0254, 'mm', 'least')).toBe('61 mm');
  const units = Object.entries(quantities).flatMap(([q, all]) =>
    Object.keys(all).map((u) => [q, u] as const),
  );
  fc.assert(
    fc.property(
      fc.constantFrom(...units),
      fc.double({ min: 0.01, max: 5000, noNaN: true }),
      fc.constantFrom('least' as const, 'most' as const),
      ([quantity, unit], si, side) => {
        const printed = Number(limitInUnit(quantity as 'length', si, unit, side).split(' ')[0]);
        const kept = inSi(quantity as 'length', printed, unit) as number;
        const within = side === 'least' ? kept >= si * (1 - 1e-9) - 1e-9 : kept <= si * (1 + 1e-9) + 1e-9;
        expect([unit, si, printed, within]).toEqual([unit, si, printed, true]);
      },
    ),
  );
});

test.each(['constructor', '__proto__', 'toString', 'hasOwnProperty', ''])(
  'no quantity but a count has the unit “%s”',
  (unit) => {
    for (const quantity of Object.keys(quantities) as (keyof typeof quantities)[])
      expect(unitFactor(quantity, unit), quantity).toBe(unit === '' && quantity === 'count' ? 1 : undefined);
  },
);

test.each([
  ['1.5', 1.5],
  ['1,5', 1.5],
  ['0,125', 0.125],
  ['-0,125', -0.125],
  ['1500,125', 1500.125],
  ['1.500', 1.5],
  [',5', 0.5],
  [' 12 ', 12],
])('“%s” is read as %d', (typed, value) => {
  expect(parseDecimal(typed)).toBe(value);
});

test.each(['1e309', 'NaN', 'Infinity', '0x10', '١٢', '1.500,2', '1,500', '-12,000', '9'.repeat(400)])(
  '“%s” is not read',
  (typed) => {
    expect(parseDecimal(typed)).toBeUndefined();
  },
);

test.each(['120 kV', '1.2k', '7 ft', '12-14', '.42m'])(
  '“%s” is more than a number: one is asked for alone, in the unit beside it',
  (typed) => {
    expect(parseDecimal(typed)).toBeUndefined();
    expect(notANumber(typed)).toContain(
      `“${typed}” is not a number: write one number, in the unit that stands beside it`,
    );
  },
);

test.each(['OL', 'ol', '0L', 'O.L', ' 0.L. ', '.OL', 'O L', '0 .l'])('“%s” is over the range', (typed) => {
  expect(isOverRange(typed)).toBe(true);
});
test.each(['0', 'L', '0.1', '00L', 'OLD', ''])('“%s” is not over the range', (typed) => {
  expect(isOverRange(typed)).toBe(false);
});

test('a figure that could be meant in two ways is told both', () => {
  expect(notANumber('1,500')).toBe('“1,500” could be meant in two ways: write 1500 or 1.500');
  expect(notANumber('lots')).toBe('“lots” is not a number');
});
