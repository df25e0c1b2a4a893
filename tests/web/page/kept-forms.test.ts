import { expect, test } from 'vitest';
import { type KeptForm, makeKeptForms } from '../../../src/web/page/kept-forms.js';

const form = (page: string, letters = 0): KeptForm => ({
  ...{ page, by: 'p1', seen: '', files: 0, typed: { note: 'x'.repeat(letters) } },
});
function at(start = Date.UTC(2026, 8, 14, 9)) {
  let now = start;
  const kept = makeKeptForms(() => new Date(now));
  const later = (minutes: number) => {
    now += minutes * 60_000;
  };
  return { kept, later };
}

test('what was typed waits an hour, for the one person who typed it', () => {
  const { kept, later } = at();
  const id = kept.keep('p1', form('/jobs'));
  expect(kept.find(id, 'p1')).toEqual(form('/jobs'));
  expect([kept.find(id, 'p2'), kept.last('p2'), kept.find('made-up', 'p1')]).toEqual(
    Array(3).fill(undefined),
  );
  later(59);
  expect(kept.last('p1')).toEqual({ id, kept: form('/jobs') });
  later(1);
  expect([kept.find(id, 'p1'), kept.last('p1')]).toEqual([undefined, undefined]);
});

test('the newest of several is offered, and the others are found by their own names', () => {
  const { kept } = at();
  const [first, , newest] = ['/a', '/b', '/c'].map((page) => kept.keep('p1', form(page)));
  kept.keep('p2', form('/of-another'));
  expect(kept.last('p1')).toEqual({ id: newest, kept: form('/c') });
  expect(kept.find(first!, 'p1')?.page).toBe('/a');
});

test('all together take no more than eight million letters: the oldest go, and the one that just came stays', () => {
  const { kept } = at();
  const million = 1024 * 1024;
  const small = kept.keep('p1', form('/small', 100));
  const ids = Array.from({ length: 4 }, (_, k) => kept.keep('p1', form(`/${k}`, 2 * million - 200)));
  expect(ids.every((id) => kept.find(id, 'p1'))).toBe(true);
  expect(kept.find(small, 'p1')).toBeDefined();
  const more = kept.keep('p2', form('/more', 2 * million));
  expect(kept.find(small, 'p1')).toBeUndefined();
  expect(kept.find(ids[0]!, 'p1')).toBeUndefined();
  expect([...ids.slice(1).map((id) => kept.find(id, 'p1')), kept.find(more, 'p2')]).not.toContain(undefined);
});
