import { writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { openedJob, tempFolder } from '../../store/temp-store.js';
import { Browser, shopUnderTest, signedIn } from '../shop-under-test.js';

test('what goes wrong inside is told with a reference alone', async () => {
  const { app, store } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.signIn('ines');
  store.db.exec('ALTER TABLE job_lines RENAME TO job_lines_gone');
  const reply = await browser.get('/');
  expect(reply.statusCode).toBe(500);
  expect(reply.body).toMatch(/Reference: <code>[0-9a-f]{10}<\/code>/);
  expect(reply.body).not.toMatch(/SqliteError|no such table|node_modules|at .*\.ts/);
});

test('an address that does not exist is answered with a page and the way back', async () => {
  const { app } = await shopUnderTest();
  const reply = await new Browser(app).get('/nowhere?<script>');
  expect(reply.statusCode).toBe(404);
  expect(reply.body).toContain('There is nothing at this address.');
  expect(reply.body).not.toContain('<script>');
});

test('an address that cannot be decoded is answered in words', async () => {
  const { app } = await shopUnderTest();
  const reply = await new Browser(app).get('/jobs/%c0%ae');
  expect([reply.statusCode, reply.body]).toEqual([400, 'The server could not make out what was sent.']);
});

test('a logbook that is closed for writing says so on every page, still reads, and refuses in words', async () => {
  const dir = tempFolder();
  const first = await shopUnderTest({ dir });
  first.store.close();
  writeFileSync(`${dir}/heads.json`, '{}');
  const { app, store } = await shopUnderTest({ dir, named: false });
  const browser = new Browser(app);
  expect((await browser.signIn('ines')).statusCode).toBe(303);
  for (const url of ['/', '/people', '/shop', '/account'])
    expect((await browser.get(url)).body).toContain('The logbook is closed for writing:');
  const health = await browser.get('/health');
  expect([health.statusCode, health.json()]).toEqual([503, { status: 'reading-only' }]);
  const refused = await browser.post('/shop', {
    name: 'Another Name',
    place: '',
    units: 'metric',
    zone: 'UTC',
  });
  expect(refused.statusCode).toBe(503);
  expect(refused.body).toContain('Nothing more is written');
  expect(store.shop.state().name).toBe('Thimble Lane Vanworks');
});

test.each([
  ['PUT', '/people', 'GET, HEAD, POST'],
  ['DELETE', '/jobs/2026-001', 'GET, HEAD'],
  ['POST', '/health', 'GET, HEAD'],
  ['PATCH', '/assets/inlet.css', 'GET, HEAD'],
])('%s %s is told which methods its address takes', async (method, url, allow) => {
  const { app } = await shopUnderTest();
  const reply = await app.inject({ method: method as 'PUT', url });
  expect([reply.statusCode, reply.headers.allow]).toEqual([405, allow]);
});

test('an address that there is not is none by any method', async () => {
  const { app } = await shopUnderTest();
  for (const method of ['GET', 'POST', 'DELETE'] as const) {
    const reply = await app.inject({ method, url: '/jobs/2026-001/nothing' });
    expect([reply.statusCode, reply.headers.allow]).toEqual([404, undefined]);
  }
});

test('whoever sends a form once their session is over is told that nothing was written, and led back to its page', async () => {
  const shop = await shopUnderTest();
  const number = openedJob(shop.store);
  const browser = signedIn(shop, 'ines');
  const path = `/jobs/${number}/description`;
  await browser.get(path);
  shop.store.sessions.endAll('ines');
  const reply = await browser.postRaw(path, { place: 'The yard' });
  expect(reply.statusCode).toBe(401);
  expect(reply.body).toContain('You are no longer signed in, so nothing of this form was written.');
  expect(reply.body).toContain(`href="/sign-in?next=${encodeURIComponent(path)}"`);
  expect((await browser.postRaw('/jobs', {})).body).toContain('class="button" href="/sign-in"');
});

test('each is shown the way on that is theirs: a page of a job back to the job, a stranger to no list of jobs', async () => {
  const shop = await shopUnderTest();
  const number = openedJob(shop.store);
  const waysOf = async (browser: Browser, url: string) => {
    const main = (await browser.get(url)).body.split('<main')[1] ?? '';
    return [...main.matchAll(/class="button" href="([^"]*)">([^<]*)</g)].map(([, href, label]) => [
      href,
      label,
    ]);
  };
  expect(await waysOf(signedIn(shop, 'ines'), `/jobs/${number}/sheet`)).toEqual([
    [`/jobs/${number}`, `To job ${number}, Marginalia`],
    ['/', 'To the list of jobs'],
  ]);
  expect(await waysOf(new Browser(shop.app), '/nowhere')).toEqual([['/sign-in', 'Sign in']]);
  expect(await waysOf(new Browser(shop.app), `/o/${'A'.repeat(32)}`)).toEqual([]);
});
