import { expect, test } from 'vitest';
import { ambientFactor } from '../../src/trade/ambient-correction.js';
import { ampacityAmps } from '../../src/trade/ampacity.js';
import { conductorCubicInches } from '../../src/trade/box-volume.js';
import { cordRow } from '../../src/trade/cord-ampacity.js';
import { guidedCordAwg } from '../../src/trade/cord-guidance.js';
import { groundConductorRow } from '../../src/trade/ground-conductor.js';
import { receptacleLoadAmps } from '../../src/trade/receptacle-load.js';
import { rvClause } from '../../src/trade/rv-clauses.js';
import { smallConductorCapAmps } from '../../src/trade/small-conductor-cap.js';

test.each<[string, () => unknown]>([
  ['ampacity of 16 AWG', () => ampacityAmps(16, 60)],
  ['factor at 56 °C for 60 °C insulation', () => ambientFactor(56, 60)],
  ['factor at 71 °C', () => ambientFactor(71, 90)],
  ['factor at no temperature', () => ambientFactor(Number.NaN, 90)],
  ['cap of 8 AWG', () => smallConductorCapAmps(8)],
  ['cap of 16 AWG', () => smallConductorCapAmps(16)],
  ['ground for 25 A', () => groundConductorRow(25)],
  ['cord of 8 AWG', () => cordRow(8)],
  ['cord advice over 151 ft', () => guidedCordAwg(1, 151)],
  ['cord advice for 20.1 A', () => guidedCordAwg(20.1, 25)],
  ['volume of 11 AWG', () => conductorCubicInches(11)],
  ['load on a 30 A receptacle', () => receptacleLoadAmps(30)],
  ['clause of no such number', () => rvClause('551.99')],
])('there is no %s, and no neighbour is taken for it', (_what, lookUp) => {
  expect(lookUp()).toBeUndefined();
});

test.each([
  [30, 1],
  [30.1, 0.91],
  [35, 0.91],
  [35.5, 0.82],
  [-20, 1.29],
])('air of %f °C falls in the band with the factor %f', (ambientC, factor) => {
  expect(ambientFactor(ambientC, 60)).toBe(factor);
});
