import { expect, test } from 'vitest';
import { buildApp } from '../../src/app.js';
import { Browser, nameShop, passphrase, shopUnderTest } from './shop-under-test.js';

test('the log says who did what and when, as one JSON line each, and never what was typed or a secret', async () => {
  const quiet = await shopUnderTest({ named: false });
  await nameShop(quiet);
  const lines: string[] = [];
  const app = await buildApp({
    config: { logLevel: 'debug' },
    store: quiet.store,
    clock: quiet.clock,
    log: { write: (line) => void lines.push(line) },
  });
  const browser = new Browser(app);
  await browser.signIn('ines', 'a wrong passphrase with a secret in it');
  await browser.signIn('ines');
  await browser.post('/people', {
    name: 'Typed Name',
    signIn: 'typed-sign-in',
    roles: ['fitter'],
    passphrase,
  });
  await browser.get('/o/an-owners-secret-token/record');
  await browser.get('/sign-in?next=%2Fo%2Fanother-secret');
  await app.close();
  const log = lines.join('');
  for (const line of lines)
    expect(JSON.parse(line)).toHaveProperty('at', expect.stringMatching(/^\d{4}-\d\d-\d\dT[\d:.]+Z$/));
  expect(log).toContain('"msg":"signed in"');
  expect(log).toContain('"msg":"sign-in refused"');
  const cookie = browser.cookie.split('=')[1] as string;
  for (const secret of [
    passphrase,
    'a wrong passphrase',
    'Typed Name',
    'typed-sign-in',
    'an-owners-secret-token',
    'another-secret',
    cookie,
    cookie.split('.')[0] as string,
  ])
    expect([secret, log.includes(secret)]).toEqual([secret, false]);
});

test('a request is one line of the log, once it is answered: what was asked, the status and how long it took', async () => {
  const { store, clock } = await shopUnderTest();
  const lines: string[] = [];
  const app = await buildApp({
    config: { logLevel: 'info' },
    ...{ store, clock, log: { write: (line) => void lines.push(line) } },
  });
  await app.inject('/sign-in');
  await app.inject({ method: 'POST', url: '/sign-in?next=/', payload: {} });
  await app.inject('/nowhere');
  await app.close();
  const answered = lines.map((line) => JSON.parse(line)).filter(({ req }) => req !== undefined);
  expect(answered.map(({ req, res, msg }) => [req.method, req.path, res.statusCode, msg])).toEqual([
    ['GET', '/sign-in', 200, 'request completed'],
    ['POST', '/sign-in', 403, 'request completed'],
    ['GET', '/nowhere', 404, 'request completed'],
  ]);
  for (const { responseTime, reqId } of answered) {
    expect(responseTime).toBeGreaterThan(0);
    expect(lines.filter((line) => line.includes(reqId)).length).toBeGreaterThan(0);
  }
});
