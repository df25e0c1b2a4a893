import { expect, test } from 'vitest';
import {
  fromSi,
  inSi,
  inUnit,
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

test('a figure that could be meant in two ways is told both', () => {
  expect(notANumber('1,500')).toBe('“1,500” could be meant in two ways: write 1500 or 1.500');
  expect(notANumber('lots')).toBe('“lots” is not a number');
});
