import { expect, test } from 'vitest';
import type { Store } from '../../src/store/open-store.js';
import { addNote, jobNumbers, openedJob } from '../store/temp-store.js';
import { Browser, shopUnderTest } from './shop-under-test.js';

/** Lets the database grow no more, and fills what room is left in the pages of its tables. Answers how to make room. */
function fill(store: Store): () => void {
  const { db } = store;
  const number = openedJob(store);
  db.pragma(`max_page_count = ${db.pragma('page_count', { simple: true })}`);
  for (const size of [900, 500, 100, 1]) untilFull(1, () => addNote(store, number, 'x'.repeat(size)));
  for (const size of [2000, 500, 100, 1])
    untilFull(size === 1 ? 100 : 1, (k) => {
      const about = { person: 'filler', agent: '' };
      store.sessions.set(`filler-${size}-${k}`, { x: 'x'.repeat(size) }, about);
    });
  return () => void db.pragma('max_page_count = 1000000');
}

/** Writes until so many writes in a row were refused for want of room. */
function untilFull(inARow: number, write: (k: number) => unknown): void {
  for (let k = 0, refused = 0; refused < inARow; k += 1) {
    try {
      write(k);
      refused = 0;
    } catch (error) {
      expect(error).toMatchObject({ code: 'store-full' });
      refused += 1;
    }
  }
}

const job = {
  'vehicle.description': 'Marginalia <b>',
  owner: 'Odile Brandt',
  place: 'x'.repeat(100),
  fitter: 'Ines Okafor',
  checker: '',
};

test('on a full disk nothing is written, what was typed is shown to be copied, and pages are read on', async () => {
  const { app, store, clock } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.signIn('ines');
  await browser.get('/jobs/new');
  const makeRoom = fill(store);
  const refused = await browser.post('/jobs', job, { page: '/jobs/new' });
  expect(refused.statusCode).toBe(507);
  expect(refused.body).toContain('The disk would not take the entry');
  expect(refused.body).toContain('Marginalia &lt;b&gt;');
  expect(jobNumbers(store)).toHaveLength(1);
  clock.move(5 * 60_000);
  for (const url of ['/', '/account', '/jobs/new', '/verify'])
    expect([url, (await browser.get(url)).statusCode]).toEqual([url, 200]);
  makeRoom();
  expect((await browser.post('/jobs', job, { page: '/jobs/new' })).statusCode).toBe(303);
});

test('on a full disk a new visitor is answered with pages, and a new session of a person is refused', async () => {
  const { app, store } = await shopUnderTest();
  fill(store);
  for (const url of ['/sign-in', '/verify', '/health'])
    expect([url, (await new Browser(app).get(url)).statusCode]).toEqual([url, 200]);
  const data = { x: 'x'.repeat(5000) };
  expect(() => store.sessions.set('new', data, { person: 'ines', agent: '' })).toThrow(/disk would not/);
  expect(() => store.sessions.set('new', data, { person: '', agent: '' })).not.toThrow();
  expect(store.sessions.get('new')).toBeUndefined();
});
