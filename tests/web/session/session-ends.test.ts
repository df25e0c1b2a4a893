import { expect, test, vi } from 'vitest';
import { hashPassphrase } from '../../../src/store/people/passphrase.js';
import { keepAnew, passphraseOf, setPassphrase } from '../../../src/web/session/people.js';
import { addPerson, Browser, passphrase, shopUnderTest, signedIn, toMend } from '../shop-under-test.js';

const isIn = async (browser: Browser) => (await browser.get('/account')).statusCode === 200;
const copyOf = (browser: Browser) => Object.assign(new Browser(browser.app), { cookie: browser.cookie });

async function shopOfTwo() {
  const shop = await shopUnderTest();
  addPerson(shop, 'tam', 'Tam Whitlock', ['checker']);
  return { ...shop, keeper: signedIn(shop, 'ines'), tam: signedIn(shop, 'tam') };
}

test('after a passphrase that was asked for again the session has a new id, and a copy of the old cookie is dead', async () => {
  const { keeper, tam } = await shopOfTwo();
  const change = { name: 'Tam Whitlock the Younger', roles: ['checker'], active: 'yes' };
  const wrong = await keeper.post('/people/tam', { ...change, passphrase: 'not hers at all' });
  expect(toMend(wrong.body)[0]).toContain('is not yours');
  const thief = copyOf(keeper);
  expect(await isIn(thief)).toBe(true);
  expect((await keeper.post('/people/tam', { ...change, passphrase })).statusCode).toBe(303);
  expect([await isIn(thief), await isIn(keeper), await isIn(tam)]).toEqual([false, true, true]);
});

test('other roles end the sessions of whoever has them now, but not the one in which a keeper changed their own', async () => {
  const shop = await shopOfTwo();
  const other = signedIn(shop, 'ines');
  await shop.keeper.post('/people/tam', {
    ...{ name: 'Tam Whitlock', roles: ['checker', 'keeper'], active: 'yes', passphrase },
  });
  expect([await isIn(shop.tam), await isIn(other)]).toEqual([false, true]);
  await shop.keeper.post('/people/ines', {
    ...{ name: 'Ines Okafor', roles: ['fitter', 'keeper'], active: 'yes', passphrase },
  });
  expect([await isIn(shop.keeper), await isIn(other)]).toEqual([true, false]);
});

test('whoever is retired opens nothing more and writes nothing, though no page ended their session', async () => {
  const { store, tam, keeper } = await shopOfTwo();
  expect(await isIn(tam)).toBe(true);
  const body = { name: 'Tam Whitlock', roles: ['checker' as const], active: false };
  store.shop.append({
    by: { id: 'ines', name: 'Ines Okafor' },
    decide: () => ({ ok: true, value: [{ kind: 'person changed', subject: 'tam', body }] }),
  });
  const before = store.shop.state().entries.length;
  const sent = await copyOf(tam).postRaw('/account/passphrase', { current: passphrase });
  expect([sent.statusCode, await isIn(tam), await isIn(keeper)]).toEqual([401, false, true]);
  expect(store.shop.state().entries).toHaveLength(before);
});

test('nothing is done to a person without the keeper’s passphrase, and a retired one is given none', async () => {
  const { keeper, store } = await shopOfTwo();
  const before = store.shop.state().entries.length;
  const kept = store.secrets.get('passphrase:tam');
  const tries: [string, Record<string, string>][] = [
    ['/people', { name: 'New One', signIn: 'new', roles: 'keeper' }],
    ['/people/tam', { name: 'Tam', roles: 'keeper', active: 'yes' }],
    ['/people/tam/passphrase', {}],
  ];
  for (const [url, fields] of tries) {
    const page = url.replace('/passphrase', '');
    expect([url, (await keeper.post(url, fields, { page })).statusCode]).toEqual([url, 422]);
  }
  expect(store.shop.state().entries).toHaveLength(before);
  expect(store.secrets.get('passphrase:tam')).toBe(kept);
  store.shop.append({
    by: { id: 'ines', name: 'Ines Okafor' },
    decide: () => ({
      ok: true,
      value: [
        {
          kind: 'person changed',
          subject: 'tam',
          body: { name: 'Tam Whitlock', roles: ['checker'], active: false },
        },
      ],
    }),
  });
  const given = await keeper.post(
    '/people/tam/passphrase',
    { 'passphrase.give': passphrase },
    { page: '/people/tam' },
  );
  expect(toMend(given.body)).toEqual(['Your passphrase: is of no use: Tam Whitlock is retired']);
});

test('a passphrase that was given runs out after three days, and opens nothing but the choice of an own one', async () => {
  const { app, store, clock } = await shopOfTwo();
  const given = 'amber-kettle-linen-otter-4711';
  const by = { id: 'ines', name: 'Ines Okafor' };
  await setPassphrase(store, { by, person: 'tam', passphrase: given, how: 'one-time' });
  const tam = new Browser(app);
  expect((await tam.signIn('tam', given)).headers.location).toBe('/account');
  for (const url of ['/', '/instruments', '/form-token', '/jobs/new'])
    expect([url, (await tam.get(url)).headers.location]).toEqual([url, '/account']);
  expect(
    (await tam.post('/account/sessions/end', { handle: 'others' }, { page: '/account' })).statusCode,
  ).toBe(403);
  clock.move(72 * 3_600_000 + 1000);
  const late = await new Browser(app).signIn('tam', given);
  expect(toMend(late.body)).toEqual([
    'The passphrase that you were given has run out: a keeper gives you another.',
  ]);
});

test('what was refused is counted, told at the next sign-in, and shown to a keeper with the last sign-in and the devices', async () => {
  const { app, keeper, tam, store } = await shopOfTwo();
  await new Browser(app, '192.0.2.9').signIn('tam', 'a guess at a passphrase');
  await tam.post('/account/passphrase', { current: 'not mine at all', passphrase: chosen, again: chosen });
  expect((await keeper.get('/people')).body).toContain('1 sign-in under this name refused');
  const person = (await keeper.get('/people/tam')).body;
  expect(person).toContain('1 passphrase refused where one was asked for again while signed in');
  tam.cookie = '';
  await tam.signIn('tam');
  const next = await tam.get('/');
  expect(next.body).toContain('Before you came in: 1 sign-in under this name refused, 1 passphrase refused');
  expect((await tam.get('/')).body).not.toContain('Before you came in');
  expect((await tam.get('/account')).body).toContain('1 sign-in under this name refused');
  expect((await keeper.get('/people')).body).toContain('aria-label="Sign out Tam Whitlock everywhere"');
  await keeper.post('/people/tam/sessions/end', { list: 'yes' }, { page: '/people' });
  expect(store.sessions.ofPerson('tam')).toEqual([]);
});

/** Passphrases that are hashed first: whatever comes after them has not come far yet. */
const othersFirst = () => Array.from({ length: 4 }, () => hashPassphrase('somebody else'));
const by = { id: 'ines', name: 'Ines Okafor' };
const chosen = `${passphrase}-chosen`;

test('whoever signs in while the passphrase is set anew is let in by the new one alone', async () => {
  const { app, store } = await shopOfTwo();
  const browser = new Browser(app);
  const others = othersFirst();
  const set = setPassphrase(store, { by, person: 'tam', passphrase: chosen, how: 'own' });
  expect((await browser.signIn('tam')).statusCode).toBe(422);
  await Promise.all([...others, set]);
  expect(store.sessions.ofPerson('tam')).toEqual([]);
  expect((await browser.signIn('tam', chosen)).statusCode).toBe(303);
});

test('a hash that is made anew takes the place of no other passphrase that was set meanwhile', async () => {
  const { store } = await shopOfTwo();
  const anew = keepAnew(store, 'tam', passphrase, passphraseOf(store, 'tam')!);
  store.secrets.put('passphrase:tam', 'another');
  await anew;
  expect(store.secrets.get('passphrase:tam')).toBe('another');
});

test.each<[string, Record<string, string>]>([
  ['/people', { name: 'New One', signIn: 'new', roles: 'keeper', passphrase }],
  ['/people/tam/passphrase', { 'passphrase.give': passphrase }],
  ['/account/passphrase', { current: passphrase, passphrase: chosen, again: chosen }],
])(
  'nothing comes of %s in a session that is ended while the new passphrase is hashed',
  async (url, fields) => {
    const { keeper, store } = await shopOfTwo();
    const written = store.shop.state().entries.length;
    const handles = () => store.sessions.ofPerson('ines').map(({ handle }) => handle);
    const [before] = handles();
    const others = othersFirst();
    const sent = keeper.post(url, fields, { page: url.replace('/passphrase', '') });
    await vi.waitUntil(() => !handles().includes(before!), { timeout: 60_000, interval: 1 });
    store.sessions.endAll('ines');
    expect((await sent).statusCode).toBe(401);
    expect(store.shop.state().entries).toHaveLength(written);
    await Promise.all(others);
  },
);
