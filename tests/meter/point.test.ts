import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parsePoint, pointNames, pointText } from '../../src/meter/point.js';
import { van } from './vans.js';

test('a name is a point where the list that people choose from has it, and nowhere else', () => {
  const poles = ['hot', 'neutral', 'ground'];
  const slots = ['supply', 'inlet', 'plug', 'connector', 'outlet1', 'outlet2'];
  const points = new Set(pointNames(van(2).run.map(({ device }) => device)));
  const isPoint = (name: string) => parsePoint(van(2), name) !== undefined;
  expect([...points].filter((name) => !isPoint(name))).toEqual([]);
  const places = [
    ...slots,
    'outlet0',
    'outlet3',
    'outlet01',
    'outlet',
    'feed1',
    'cord',
    'chassis',
    'earth',
    '',
  ];
  const word = fc.constantFrom(...places, ...poles, 'line', 'load');
  const name = fc.array(word, { minLength: 1, maxLength: 4 }).map((words) => words.join('.'));
  fc.assert(
    fc.property(name, (asked) => {
      expect([asked, isPoint(asked)]).toEqual([asked, points.has(asked)]);
    }),
    { numRuns: 5_000 },
  );
});

test.each([
  ['outlet2.neutral', 'the neutral slot of outlet 2'],
  ['outlet1.line.hot', 'the hot LINE screw of outlet 1'],
  ['outlet1.load.neutral', 'the neutral LOAD screw of outlet 1'],
  ['plug.ground', 'the ground blade of the cord’s plug'],
  ['connector.hot', 'the hot slot of the cord’s connector'],
  ['inlet.neutral', 'the inlet’s neutral pin'],
  ['supply.hot', 'the supply’s hot slot'],
  ['earth', 'true earth'],
  ['chassis', 'the chassis'],
])('%s is told as %s', (name, words) => {
  expect(pointText(name)).toBe(words);
});

test('no point goes without words of its own', () => {
  const names = pointNames(van(2).run.map(({ device }) => device));
  const words = names.map(pointText);
  expect(new Set(words).size).toBe(names.length);
  expect(words.filter((text) => names.includes(text))).toEqual([]);
});
