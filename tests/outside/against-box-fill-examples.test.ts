import { expect, test } from 'vitest';
import { boxFill } from '../../src/circuit/box-fill.js';

const repeat = (awg: number, times: number) => Array.from({ length: times }, () => awg);

// Published worked examples of NEC 314.16; the number of copies seen is beside each.
test.each([
  {
    example: 'two 12-2 with ground, clamps inside, one duplex (three pages)',
    contents: { conductors: repeat(12, 4), grounds: [12, 12], devices: [12], internalClamps: true },
    cubicInches: 18,
  },
  {
    example: 'three 14-2 with ground, one duplex, no clamps (one page)',
    contents: { conductors: repeat(14, 6), grounds: [14, 14, 14], devices: [14], internalClamps: false },
    cubicInches: 18,
  },
  {
    example: 'two 14-2 with grounds, one device, no clamps (one page)',
    contents: { conductors: repeat(14, 4), grounds: [14, 14], devices: [14], internalClamps: false },
    cubicInches: 14,
  },
  {
    example: 'six and three 12 AWG and nothing else (two pages)',
    contents: { conductors: repeat(12, 9), grounds: [], devices: [], internalClamps: false },
    cubicInches: 20.25,
  },
])('$example needs $cubicInches in³', ({ contents, cubicInches }) => {
  expect(boxFill(contents)!.cubicInches).toBe(cubicInches);
});

// NEC 314.16(B)(5), 2020 and later: a quarter more for each ground beyond four.
test.each([
  [1, 2.25],
  [4, 2.25],
  [5, 2.8125],
  [8, 4.5],
])('%i grounds of 12 AWG count %f in³', (count, cubicInches) => {
  const fill = boxFill({ conductors: [], grounds: repeat(12, count), devices: [], internalClamps: false })!;
  expect(fill.cubicInches).toBe(cubicInches);
});

// NEC 314.16(B)(4): a device counts at the largest conductor connected to it, clamps at the largest in the box.
test('a device on 14 AWG in a box with 10 AWG counts at 14 AWG, the clamps at 10 AWG', () => {
  const fill = boxFill({
    conductors: [14, 14, 10, 10],
    grounds: [10],
    devices: [14],
    internalClamps: true,
  })!;
  expect(fill.cubicInches).toBe(4 + 5 + 4 + 2.5 + 2.5);
});
