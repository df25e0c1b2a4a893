import fc from 'fast-check';
import { expect, test } from 'vitest';
import { parsePoint, pointText } from '../../src/meter/point.js';
import { van } from './vans.js';

test('a name is a point where the page on circuits has it and the circuit has the place, and nowhere else', () => {
  const poles = ['hot', 'neutral', 'ground'];
  const slots = ['supply', 'inlet', 'plug', 'connector', 'outlet1', 'outlet2'];
  // Of two outlets the first is the ground-fault device: its screws are those of LINE and LOAD, its ground is its slot.
  const points = new Set([
    'chassis',
    'earth',
    ...slots.flatMap((slot) => poles.map((pole) => `${slot}.${pole}`)),
    ...['line', 'load'].flatMap((side) => [`outlet1.${side}.hot`, `outlet1.${side}.neutral`]),
  ]);
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
