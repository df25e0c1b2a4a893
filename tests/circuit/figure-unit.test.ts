import { expect, test } from 'vitest';
import { belongTogether, keptSpace } from '../../src/circuit/figure-unit.js';

test.each([
  ['9.9', 'A,'],
  ['(25', 'ft)'],
  ['1½', 'h'],
  ['14.2', 'in-lbf'],
  ['3.31', 'mm²)'],
  ['80', '%'],
  ['60', 'HZ,'],
  ['outlet', '2,'],
  ['Revision', '1'],
  ['19:05', 'UTC.'],
  ['19:05', 'MST'],
  ['06:00', 'ChST,'],
])('%s %s stay together', (figure, unit) => {
  expect(belongTogether(figure, unit)).toBe(true);
  expect(`${figure} ${unit}`.replace(keptSpace, '~')).toBe(`${figure}~${unit}`);
});

test.each([
  ['2', 'Amber'],
  ['outlet', 'A'],
  ['26', 'Novices'],
  ['Nov', 'and'],
  ['3', 'moves'],
  ['12', 'stitches'],
  ['2', 'TEST'],
])('%s %s may part', (word, next) => {
  expect(belongTogether(word, next)).toBe(false);
  expect(`${word} ${next}`.replace(keptSpace, '~')).toBe(`${word} ${next}`);
});

test('a day stays whole', () => {
  expect('26 Nov 2026, and Nov 26'.replace(keptSpace, '~')).toBe('26~Nov~2026, and Nov 26');
  expect(belongTogether('26', 'Nov') && belongTogether('26 Nov', '2026')).toBe(true);
});
