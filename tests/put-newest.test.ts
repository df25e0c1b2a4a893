import { expect, test } from 'vitest';
import { putNewest } from '../src/put-newest.js';

test('of more than so many the one that was put longest ago goes, and one that is put again counts anew', () => {
  const map = new Map<string, number>();
  for (const [k, key] of ['a', 'b', 'a', 'c'].entries()) putNewest(map, key, k, 2);
  expect([...map]).toEqual([
    ['a', 2],
    ['c', 3],
  ]);
});
