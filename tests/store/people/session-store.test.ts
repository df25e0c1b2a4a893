import fc from 'fast-check';
import { expect, test } from 'vitest';
import { standingClock, tempStore } from '../temp-store.js';

const minute = 60_000;
const hour = 60 * minute;
const about = (person: string) => ({ person, agent: 'a phone' });

test('a session lasts while no pause is longer than 12 hours, and a week in all; one of nobody 2 hours: listed as long as it opens', () => {
  const pauses = fc.oneof(
    fc.array(fc.integer({ min: 2 * minute, max: 14 * hour }), { maxLength: 9 }),
    fc.array(fc.integer({ min: 8 * hour, max: 12 * hour }), { minLength: 21, maxLength: 21 }),
  );
  fc.assert(
    fc.property(fc.constantFrom('ines', ''), pauses, fc.boolean(), (person, all, written) => {
      const clock = standingClock();
      const { sessions, close } = tempStore(undefined, clock);
      sessions.set('one', {}, about(person));
      const longest = person === '' ? 2 * hour : 12 * hour;
      let inAll = 0;
      for (const pause of all) {
        clock.move(pause);
        inAll += pause;
        const lasts = pause <= longest && inAll <= 7 * 24 * hour;
        const listed = person !== '' && lasts ? 1 : 0;
        expect([sessions.ofPerson('ines').length, sessions.counts().get('ines') ?? 0]).toEqual([
          listed,
          listed,
        ]);
        expect(sessions.get('one') !== undefined).toBe(lasts);
        if (!lasts) break;
        // What is written into it does not begin its week anew.
        if (written) sessions.set('one', { pause }, about(person));
      }
      close();
    }),
    { numRuns: 30 },
  );
});

test('a session that was ended is not brought back by what was under way, and nobody ends another’s', () => {
  const clock = standingClock();
  const { sessions } = tempStore(undefined, clock);
  const open = () => ['here', 'there', 'hers', 'nobody'].filter((id) => sessions.get(id) !== undefined);
  const bringBack = () => {
    for (const id of ['here', 'there']) sessions.set(id, {}, about('ines'));
    sessions.set('hers', {}, about('tam'));
    sessions.set('nobody', {}, about(''));
  };
  bringBack();
  expect(open()).toEqual(['here', 'there', 'hers', 'nobody']);
  expect(sessions.endByHandle('ines', sessions.handleOf('hers') ?? '')).toBe(false);
  expect(open()).toEqual(['here', 'there', 'hers', 'nobody']);
  expect(sessions.endAll('ines', 'here')).toBe(1);
  bringBack();
  expect(open()).toEqual(['here', 'hers', 'nobody']);
  expect(sessions.endByHandle('tam', sessions.handleOf('hers') ?? '')).toBe(true);
  bringBack();
  expect(open()).toEqual(['here', 'nobody']);
  expect(sessions.endAll('ines')).toBe(1);
  sessions.destroy('nobody');
  bringBack();
  clock.move(50 * minute);
  bringBack();
  expect(open()).toEqual([]);
});

test('sessions that ran out go with the next one that begins, so that nothing of them is kept', () => {
  const clock = standingClock();
  const { sessions, db } = tempStore(undefined, clock);
  for (const id of ['a', 'b', 'c']) sessions.set(id, {}, about(id === 'a' ? '' : id));
  clock.move(3 * hour);
  sessions.set('d', {}, about('ines'));
  const persons = () => db.prepare('SELECT person FROM sessions ORDER BY person').pluck().all();
  expect(persons()).toEqual(['b', 'c', 'ines']);
  clock.move(13 * hour);
  sessions.set('e', {}, about('tam'));
  expect(persons()).toEqual(['tam']);
});

test('a flood of strangers takes the room of strangers alone: of theirs the oldest go, and no person is signed out', () => {
  const clock = standingClock();
  const { sessions, db } = tempStore(undefined, clock);
  sessions.set('hers', {}, about('ines'));
  sessions.set('oldest', {}, about(''));
  clock.move(minute);
  db.prepare(
    `WITH RECURSIVE n (k) AS (SELECT 1 UNION ALL SELECT k + 1 FROM n WHERE k < 20000)
     INSERT INTO sessions (id_digest, handle, person, data, agent, made_ms, seen_ms)
     SELECT 'digest ' || k, 'handle ' || k, '', '{}', '', @now, @now FROM n`,
  ).run({ now: clock().getTime() });
  clock.move(minute);
  for (const id of ['newer', 'newest']) sessions.set(id, {}, about(''));
  expect(['hers', 'oldest', 'newest'].map((id) => sessions.get(id) !== undefined)).toEqual([
    true,
    false,
    true,
  ]);
});
