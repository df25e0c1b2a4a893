import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readFigure } from '../../src/circuit/typed-figure.js';
import { inSi, parseDecimal, type Quantity, quantities } from '../../src/circuit/units.js';

test.each([
  [`5' 11 1/2"`, 'length', 'ft', '71.5', 'in'],
  [`5'11"`, 'length', 'in', '71', 'in'],
  ['5’ 11”', 'length', 'ft', '71', 'in'],
  ['6 ft 3 in', 'length', 'ft', '75', 'in'],
  [`6' 0"`, 'length', 'ft', '72', 'in'],
  ['7/8', 'diameter', 'in', '0.875', 'in'],
  ['7/8"', 'diameter', 'in', '0.875', 'in'],
  ['4-3/8', 'length', 'in', '4.375', 'in'],
  ['4⅜ in', 'length', 'in', '4.375', 'in'],
  ['7½', 'length', 'ft', '7.5', 'ft'],
  [`25'`, 'length', 'ft', '25', 'ft'],
  ['0.42in', 'diameter', 'in', '0.42', 'in'],
  ['120v', 'voltage', 'V', '120', 'V'],
  ['0.3 Ω', 'resistance', 'Ω', '0.3', 'Ω'],
  ['14 in-lbf', 'torque', 'in-lbf', '14', 'in-lbf'],
  [' 1,5 ', 'length', 'm', '1,5', 'm'],
] as const)('%s, %s in %s, is %s %s', (text, quantity, field, typed, unit) => {
  expect(readFigure(text, quantity, field)).toEqual({
    typed,
    value: Number(typed.replace(',', '.')),
    unit,
  });
});

test.each([
  ['1.2 kΩ', 'resistance', 'Ω'],
  ['0.3 mΩ', 'resistance', 'MΩ'],
  ['120 kV', 'voltage', 'V'],
  ['30 mA', 'current', 'A'],
  ['120 mm', 'length', 'm'],
  ['7 ft', 'length', 'in'],
  ['7 ft', 'length', 'm'],
  [`5' 11"`, 'length', 'm'],
  [`5' 13"`, 'length', 'ft'],
  ['7/8', 'length', 'm'],
  ['8/7', 'length', 'in'],
  ['1/3', 'length', 'in'],
  ['1/2', 'resistance', 'Ω'],
  ['12-14', 'length', 'in'],
  ['1,500', 'length', 'in'],
  ['', 'length', 'in'],
  ['in', 'length', 'in'],
] as const)('%s, %s in %s, is not read', (text, quantity, field) => {
  expect(readFigure(text, quantity, field)).toBeUndefined();
});

const units = Object.entries(quantities).flatMap(([quantity, all]) =>
  Object.keys(all).map((unit) => [quantity as Quantity, unit] as const),
);

test('a figure with its unit behind it is never taken for another size than it says', () => {
  const figures = fc.integer({ min: 0, max: 9999 }).map((n) => String(n / 100));
  fc.assert(
    fc.property(
      fc.constantFrom(...units),
      fc.constantFrom(...units),
      figures,
      ([quantity, field], [of, said], figure) => {
        const read = readFigure(`${figure} ${said}`, quantity, field);
        if (read === undefined) return;
        const meant = inSi(said === '' || said === field ? quantity : of, Number(figure), said || field);
        expect(inSi(quantity, parseDecimal(read.typed)!, read.unit)).toBe(meant);
      },
    ),
    { numRuns: 2000 },
  );
});

test('feet, inches and a fraction of a rule come to the same length', () => {
  const rule = fc.record({
    feet: fc.integer({ min: 0, max: 50 }),
    inches: fc.integer({ min: 0, max: 11 }),
    over: fc.integer({ min: 1, max: 63 }),
  });
  fc.assert(
    fc.property(rule, ({ feet, inches, over }) => {
      const read = readFigure(`${feet}' ${inches} ${over}/64"`, 'length', 'ft')!;
      expect(parseDecimal(read.typed)).toBe(feet * 12 + inches + over / 64);
    }),
  );
});
