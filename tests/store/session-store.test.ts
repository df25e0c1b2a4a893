import { expect, onTestFinished, test, vi } from 'vitest';
import { openDatabase } from '../../src/store/database.js';
import type { Store } from '../../src/store/open-store.js';
import { tempFolder, tempStore } from './temp-store.js';

const about = { person: 'ines', agent: 'a phone' };

/** What another reader finds of a session in the database. */
function written({ dir }: Store): unknown[] {
  const beside = openDatabase(`${dir}/logbook.db`, { readOnly: true });
  const rows = beside.prepare('SELECT data FROM sessions').all() as { data: string }[];
  beside.close();
  return rows.map(({ data }) => JSON.parse(data));
}

function timed(dir = tempFolder()) {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] });
  onTestFinished(() => void vi.useRealTimers());
  return tempStore(dir);
}

test('a new session is in the database at once; what changes in it is seen at once and written within a second', () => {
  const store = timed();
  store.sessions.set('one', { personId: 'ines' }, about);
  expect(written(store)).toEqual([{ personId: 'ines' }]);
  store.sessions.set('one', { personId: 'ines', flash: 'Done.' }, about);
  expect(store.sessions.get('one')).toEqual({ personId: 'ines', flash: 'Done.' });
  expect(written(store)).toEqual([{ personId: 'ines' }]);
  vi.advanceTimersByTime(1000);
  expect(written(store)).toEqual([{ personId: 'ines', flash: 'Done.' }]);
});

test('another person in a session is written at once, over what was kept', () => {
  const store = timed();
  store.sessions.set('one', { n: 1 }, { person: '', agent: '' });
  store.sessions.set('one', { n: 2 }, { person: '', agent: '' });
  store.sessions.set('one', { n: 3 }, about);
  expect(written(store)).toEqual([{ n: 3 }]);
  vi.advanceTimersByTime(1000);
  expect(written(store)).toEqual([{ n: 3 }]);
});

test('a session that was ended is not brought back by what was kept of it', () => {
  const store = timed();
  store.sessions.set('one', { n: 1 }, about);
  store.sessions.set('one', { n: 2 }, about);
  store.sessions.destroy('one');
  expect(store.sessions.get('one')).toBeUndefined();
  vi.advanceTimersByTime(1000);
  expect([store.sessions.get('one'), written(store)]).toEqual([undefined, []]);
});

test('what was kept is written before the store closes', () => {
  const dir = tempFolder();
  const store = timed(dir);
  store.sessions.set('one', { n: 1 }, about);
  store.sessions.set('one', { n: 2 }, about);
  store.close();
  expect(tempStore(dir).sessions.get('one')).toEqual({ n: 2 });
});
