import { expect, test } from 'vitest';
import { pointText } from '../../src/meter/point.js';

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
