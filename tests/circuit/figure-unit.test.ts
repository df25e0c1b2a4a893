import { expect, test } from 'vitest';
import { isFigureWithUnit, spaceBeforeUnit } from '../../src/circuit/figure-unit.js';

test.each([
  ['9.9', 'A,'],
  ['(25', 'ft)'],
  ['1½', 'h'],
  ['14.2', 'in-lbf'],
  ['3.31', 'mm²)'],
  ['80', '%'],
])('%s %s is a figure with its unit', (figure, unit) => {
  expect(isFigureWithUnit(figure, unit)).toBe(true);
  expect(`${figure} ${unit}`.replace(spaceBeforeUnit, '~')).toBe(`${figure}~${unit}`);
});

test.each([
  ['2', 'Amber'],
  ['outlet', 'A'],
  ['3', 'moves'],
  ['12', 'stitches'],
])('%s %s is none', (word, next) => {
  expect(isFigureWithUnit(word, next)).toBe(false);
  expect(`${word} ${next}`.replace(spaceBeforeUnit, '~')).toBe(`${word} ${next}`);
});
