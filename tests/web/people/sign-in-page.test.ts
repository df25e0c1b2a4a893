import { expect, test } from 'vitest';
import { checkPassphrase } from '../../../src/store/people/passphrase.js';
import { addPerson, Browser, passphrase, shopUnderTest, tokensOf, toMend } from '../shop-under-test.js';

test('signing in gives a session of a new id, and signing out ends it on the server', async () => {
  const { app } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.get('/sign-in');
  const before = browser.cookie;
  expect((await browser.signIn('ines')).statusCode).toBe(303);
  const during = browser.cookie;
  expect(during).not.toBe(before);
  expect((await browser.get('/account')).statusCode).toBe(200);
  await browser.post('/sign-out', {}, { page: '/account' });
  const thief = new Browser(app);
  for (const cookie of [before, during]) {
    thief.cookie = cookie;
    expect((await thief.get('/account')).headers.location).toBe('/sign-in?next=%2Faccount');
  }
});

test('the cookie is signed, closed to scripts and to other sites, and holds no time of its own', async () => {
  const { app } = await shopUnderTest();
  const browser = new Browser(app);
  const reply = await browser.signIn('ines');
  const [device, session] = reply.headers['set-cookie'] as string[];
  expect(session).toMatch(/^inlet=[^;]+; Path=\/; HttpOnly; SameSite=Lax$/);
  expect(device).toMatch(/^inlet-device=[\w.-]+; Max-Age=34560000; Path=\/; HttpOnly; SameSite=Lax$/);
  const forged = new Browser(app);
  forged.cookie = `${browser.cookie.slice(0, -4)}AAAA`;
  expect((await forged.get('/account')).statusCode).toBe(303);
});

test('a session id is nowhere in the database', async () => {
  const { app, store } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.signIn('ines');
  const id = decodeURIComponent(browser.cookie.split('=')[1] as string).split('.')[0] as string;
  expect(id.length).toBeGreaterThanOrEqual(22);
  expect(JSON.stringify(store.db.prepare('SELECT * FROM sessions').all())).not.toContain(id);
});

test('an unknown name and a wrong passphrase are answered alike', async () => {
  const { app } = await shopUnderTest();
  const wrong = await new Browser(app).signIn('ines', 'not the passphrase at all');
  const unknown = await new Browser(app).signIn('nobody', 'not the passphrase at all');
  const plain = (html: string) => html.replace(/value="[^"]*"/g, '');
  expect([wrong.statusCode, unknown.statusCode]).toEqual([422, 422]);
  expect(plain(wrong.body)).toBe(plain(unknown.body));
  expect(toMend(wrong.body)).toEqual(['This name and this passphrase do not belong together.']);
});

test.each(['INES', ' ines ', 'Iｎes'])('the name is taken in any case and width: "%s"', async (name) => {
  const { app } = await shopUnderTest();
  expect((await new Browser(app).signIn(name)).statusCode).toBe(303);
});

test('many wrong tries from one address must wait, another address and the owner’s own device are let in, and nobody is shut out for good', async () => {
  const { app, clock } = await shopUnderTest();
  const own = new Browser(app, '192.0.2.7');
  await own.signIn('ines');
  const stranger = new Browser(app, '192.0.2.7');
  for (let k = 0; k < 6; k++)
    expect((await stranger.signIn('ines', `wrong passphrase ${k}`)).statusCode).toBe(422 + (k === 5 ? 7 : 0));
  expect(stranger.last?.headers['retry-after']).toBeDefined();
  expect((await stranger.signIn('ines')).statusCode).toBe(429);
  expect((await new Browser(app, '192.0.2.8').signIn('ines')).statusCode).toBe(303);
  own.cookie = '';
  expect((await own.signIn('ines')).statusCode).toBe(303);
  clock.move(61_000);
  expect((await stranger.signIn('ines')).statusCode).toBe(303);
});

test.each(['//evil.example/', 'https://evil.example/', '/\\evil.example', 'javascript:alert(1)'])(
  'signing in leads to no other place: %s',
  async (next) => {
    const { app } = await shopUnderTest();
    const browser = new Browser(app);
    const reply = await browser.post('/sign-in', { signIn: 'ines', passphrase, next });
    expect(reply.headers.location).toBe('/');
  },
);

test('a session ends after long idleness, and in any case after a week', async () => {
  const { app, clock } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.signIn('ines');
  clock.move(11 * 3_600_000);
  expect((await browser.get('/account')).statusCode).toBe(200);
  clock.move(13 * 3_600_000);
  expect((await browser.get('/account')).statusCode).toBe(303);
  await browser.signIn('ines');
  for (let hours = 0; hours < 7 * 24; hours += 8) {
    await browser.get('/account');
    clock.move(8 * 3_600_000);
  }
  clock.move(1000);
  expect((await browser.get('/account')).statusCode).toBe(303);
});

test('a person lists their sessions and ends another of them', async () => {
  const { app } = await shopUnderTest();
  const [here, there] = [new Browser(app), new Browser(app)];
  await here.signIn('ines');
  await there.signIn('ines');
  const page = await here.get('/account');
  expect(page.body).toContain('This device');
  const handle = /name="handle" value="([A-Za-z0-9_-]{12})"/.exec(page.body)?.[1] as string;
  await here.post('/account/sessions/end', { handle }, { page: '/account' });
  expect((await there.get('/account')).statusCode).toBe(303);
  expect((await here.get('/account')).statusCode).toBe(200);
});

test('a person who is retired loses access at once, and a new passphrase signs out the other devices', async () => {
  const shop = await shopUnderTest();
  addPerson(shop, 'tam', 'Tam Whitlock', ['checker']);
  const [keeper, tam] = [new Browser(shop.app), new Browser(shop.app)];
  await keeper.signIn('ines');
  await tam.signIn('tam');
  expect((await tam.get('/account')).statusCode).toBe(200);
  await keeper.post('/people/tam', { name: 'Tam Whitlock', roles: ['checker'], active: 'no', passphrase });
  expect((await tam.get('/account')).statusCode).toBe(303);
  expect((await tam.signIn('tam')).statusCode).toBe(422);

  const other = new Browser(shop.app);
  await other.signIn('ines');
  const next = 'four other words entirely';
  await keeper.post(
    '/account/passphrase',
    { current: passphrase, passphrase: next, again: next },
    { page: '/account' },
  );
  expect((await other.get('/account')).statusCode).toBe(303);
  expect((await keeper.get('/account')).statusCode).toBe(200);
  expect((await other.signIn('ines')).statusCode).toBe(422);
  expect((await other.signIn('ines', next)).statusCode).toBe(303);
});

test('a hash of an older cost still opens, and is made anew at that sign-in', async () => {
  const { app, store } = await shopUnderTest();
  const { scryptSync } = await import('node:crypto');
  const salt = Buffer.alloc(16, 3);
  const old = scryptSync(passphrase, salt, 32, { N: 2 ** 14, r: 8, p: 1 });
  store.secrets.put(
    'passphrase:ines',
    ['scrypt', 2 ** 14, 8, 1, salt.toString('base64url'), old.toString('base64url')].join('$'),
  );
  expect((await new Browser(app).signIn('ines')).statusCode).toBe(303);
  const kept = store.secrets.get('passphrase:ines') as string;
  expect(kept.startsWith('scrypt$131072$8$1$')).toBe(true);
  expect(await checkPassphrase(passphrase, kept)).toEqual({ right: true, stale: false });
});

test('a session that was signed out is not brought back by a request that was still under way', async () => {
  const { app, store } = await shopUnderTest();
  const browser = new Browser(app);
  await browser.signIn('ines');
  const page = await browser.get('/account');
  const { cookie } = browser;
  const under = new Browser(app);
  under.cookie = cookie;
  const chosen = `${passphrase}-chosen`;
  const kept = store.secrets.get('passphrase:ines');
  const slow = under.postRaw('/account/passphrase', {
    ...tokensOf(page.body),
    current: passphrase,
    passphrase: chosen,
    again: chosen,
  });
  await new Promise((resolve) => setImmediate(resolve));
  await browser.postRaw('/sign-out', tokensOf(page.body));
  expect((await slow).statusCode).toBe(401);
  expect(store.secrets.get('passphrase:ines')).toBe(kept);
  const copied = new Browser(app);
  copied.cookie = cookie;
  expect((await copied.get('/account')).headers.location).toContain('/sign-in');
});
