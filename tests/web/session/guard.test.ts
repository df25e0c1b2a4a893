import fastify from 'fastify';
import { expect, test } from 'vitest';
import type { Role } from '../../../src/logbook/shop-entry.js';
import { addresses } from '../../../src/web/routes.js';
import { guardRoutes } from '../../../src/web/session/guard.js';
import { addPerson, Browser, shopUnderTest, signedIn, tokensOf } from '../shop-under-test.js';

const open = new Set([
  '/health',
  '/version',
  '/schemas/:schema',
  '/assets/*',
  '/set-up',
  '/sign-in',
  '/glossary',
  '/verify',
  '/o/:token',
  '/o/:token/record',
  '/o/:token/acknowledgement',
]);
const filledIn = (url: string) => url.replace('*', 'inlet.css').replace(/:[a-z]+/g, 'nothing-here');
const closed = addresses.filter(([, , access]) => access !== 'open');

test('only set-up, sign-in, health, verification, the glossary, the stylesheet and the owner’s link are open', () => {
  expect(new Set(addresses.filter(([, , access]) => access === 'open').map(([, url]) => url))).toEqual(open);
});

test('every address in the list is registered, and nothing else', async () => {
  const { app } = await shopUnderTest();
  const missing = addresses.filter(([method, url]) => !app.hasRoute({ method, url }));
  expect(missing).toEqual([]);
  expect(new Set(addresses.map(([m, u]) => `${m} ${u}`)).size).toBe(addresses.length);
  const guarded = fastify();
  guardRoutes(guarded);
  guarded.get('/health', async () => 'x');
  expect(() => guarded.get('/unlisted', async () => 'x')).toThrow('not in the list');
  expect(() => guarded.post('/health', async () => 'x')).toThrow('not in the list');
});

test('without a session no closed address answers with anything but the way to sign in', async () => {
  const { app } = await shopUnderTest();
  for (const [method, url] of closed) {
    const browser = new Browser(app);
    const address = filledIn(url);
    const reply =
      method === 'GET' ? await browser.get(address) : await browser.postRaw(address, { name: 'x' });
    const expected =
      method === 'GET' ? [303, `/sign-in?next=${encodeURIComponent(address)}`] : [401, undefined];
    expect([method, url, reply.statusCode, reply.headers.location]).toEqual([method, url, ...expected]);
  }
});

test('the head of a page is asked for by whoever may read the page, and by nobody else', async () => {
  const shop = await shopUnderTest();
  addPerson(shop, 'someone', 'Some One', ['fitter']);
  const fitter = signedIn(shop, 'someone');
  const statusOf = async (url: string, cookie: string) =>
    (await shop.app.inject({ method: 'HEAD', url, headers: { cookie } })).statusCode;
  for (const [, url, access] of closed.filter(([method]) => method === 'GET')) {
    const address = filledIn(url);
    expect([url, await statusOf(address, '')]).toEqual([url, 401]);
    const expected = (await fitter.get(address)).statusCode;
    expect([url, await statusOf(address, fitter.cookie)]).toEqual([url, expected]);
    if (access === 'keeper') expect([url, expected]).toEqual([url, 403]);
  }
});

test.each(['fitter', 'checker', 'keeper'] as const)(
  'a %s reaches what the role opens and nothing more',
  async (role: Role) => {
    const shop = await shopUnderTest();
    addPerson(shop, 'someone', 'Some One', [role]);
    const browser = new Browser(shop.app);
    await browser.signIn('someone');
    for (const [method, url, access] of closed) {
      if (url === '/sign-out') continue;
      const address = filledIn(url);
      const { _csrf } = tokensOf((await browser.get('/account')).body);
      const reply = method === 'GET' ? await browser.get(address) : await browser.postRaw(address, { _csrf });
      const refused = access !== 'person' && access !== role;
      if (refused) expect([method, url, reply.statusCode]).toEqual([method, url, 403]);
      else
        expect([method, url, reply.statusCode >= 500, reply.statusCode === 401]).toEqual([
          method,
          url,
          false,
          false,
        ]);
    }
  },
);

test('every form that changes something is refused without its token, with another session’s, and from another site', async () => {
  const { app, store } = await shopUnderTest();
  const [ines, stranger] = [new Browser(app), new Browser(app)];
  await ines.signIn('ines');
  const foreign = tokensOf((await stranger.get('/sign-in')).body)._csrf;
  const own = tokensOf((await ines.get('/account')).body)._csrf;
  const before = store.shop.state().entries.length;
  for (const [method, url] of addresses.filter(([m, u]) => m === 'POST' && u !== '/set-up')) {
    const address = filledIn(url);
    const tries = [
      await ines.postRaw(address, { name: 'x' }),
      await ines.postRaw(address, { name: 'x', _csrf: foreign }),
      await ines.postRaw(address, { name: 'x', _csrf: own }, { origin: 'https://evil.example' }),
      await ines.postRaw(address, { name: 'x', _csrf: own }, { 'sec-fetch-site': 'cross-site' }),
      await ines.postRaw(address, { name: 'x', _csrf: own }, { origin: 'null' }),
    ];
    expect([method, url, ...tries.map((t) => t.statusCode)]).toEqual([method, url, 403, 403, 403, 403, 403]);
  }
  expect(store.shop.state().entries).toHaveLength(before);
});

test('signing in needs a token too, so that nobody is signed in as somebody else', async () => {
  const { app } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.get('/sign-in');
  expect(
    (await browser.postRaw('/sign-in', { signIn: 'ines', passphrase: 'spindle-lantern-otter-quarry' }))
      .statusCode,
  ).toBe(403);
});

test('no GET changes the shop or a job', async () => {
  const { app, store } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.signIn('ines');
  const before = store.db.prepare('SELECT max(n) AS n FROM heads').get();
  for (const [method, url] of addresses) if (method === 'GET') await browser.get(filledIn(url));
  expect(store.db.prepare('SELECT max(n) AS n FROM heads').get()).toEqual(before);
});

test('every page carries the headers that keep it to itself', async () => {
  const { app } = await shopUnderTest();
  const browser = new Browser(app);
  for (const url of ['/sign-in', '/verify', '/nowhere', '/health']) {
    const { headers } = await browser.get(url);
    const policy = String(headers['content-security-policy']);
    for (const rule of [
      "default-src 'none'",
      "script-src 'self'",
      "style-src 'self'",
      "form-action 'self'",
      "frame-ancestors 'none'",
      "base-uri 'none'",
    ])
      expect([url, policy.includes(rule)]).toEqual([url, true]);
    expect(policy).not.toContain('unsafe');
    expect(policy).not.toContain('data:');
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['referrer-policy']).toBe('same-origin');
  }
});

test.each([
  '/assets/../package.json',
  '/assets/%2e%2e/package.json',
  '/assets/package.json',
  '/assets/..%2f..%2fpackage.json',
  '/assets/.gitignore',
  '/assets/LICENSE_FONT',
])('nothing but the assets is served from the disk: %s', async (url) => {
  const { app } = await shopUnderTest();
  expect([403, 404]).toContain((await new Browser(app).get(url)).statusCode);
});
