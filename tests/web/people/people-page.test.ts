import { expect, test } from 'vitest';
import {
  addPerson,
  Browser,
  passphrase,
  shopUnderTest,
  signedIn,
  tokensOf,
  toMend,
} from '../shop-under-test.js';

async function keeper() {
  const shop = await shopUnderTest();
  return { ...shop, browser: signedIn(shop, 'ines') };
}

test('a person who is added gets a passphrase that is shown once and must be changed', async () => {
  const { app, browser, store } = await keeper();
  const reply = await browser.post('/people', {
    ...{ name: 'Tam Whitlock', signIn: 'tam', roles: ['checker'], passphrase },
  });
  const given = /<code>([a-z0-9-]+)<\/code>/.exec(reply.body)?.[1] as string;
  expect(given.length).toBeGreaterThan(20);
  expect((await browser.get('/people')).body).not.toContain(given);
  expect(JSON.stringify(store.db.prepare('SELECT * FROM secrets').all())).not.toContain(given);
  const tam = new Browser(app);
  const signedIn = await tam.signIn('tam', given);
  expect(signedIn.headers.location).toBe('/account');
  const account = await tam.get('/account');
  expect(account.body).toContain('was given to you');
  expect((await tam.get('/')).headers.location).toBe('/account');
  const refused = await tam.postRaw('/jobs', { ...tokensOf(account.body), owner: 'x' });
  expect([refused.statusCode, refused.body]).toEqual([403, expect.stringContaining('choose your own first')]);
  const own = `${passphrase}-own`;
  await tam.post(
    '/account/passphrase',
    { current: given, passphrase: own, again: own },
    { page: '/account' },
  );
  expect((await tam.get('/')).statusCode).toBe(200);
});

test.each(['ines', 'INES', 'ｉｎｅｓ', ' Ines '])(
  'a sign-in name is never given twice: "%s"',
  async (signIn) => {
    const { browser, store } = await keeper();
    const reply = await browser.post('/people', {
      name: 'Somebody Else',
      signIn,
      roles: ['fitter'],
      passphrase,
    });
    expect(reply.statusCode).toBe(422);
    expect(toMend(reply.body)).toEqual([
      'Sign-in name: is or was the sign-in of another person; choose another',
    ]);
    expect(store.shop.state().people).toHaveLength(1);
  },
);

test('the sign-in name of someone who left is not given again', async () => {
  const shop = await keeper();
  addPerson(shop, 'tam', 'Tam Whitlock', ['checker']);
  await shop.browser.post('/people/tam', {
    name: 'Tam Whitlock',
    roles: ['checker'],
    active: 'no',
    passphrase,
  });
  const reply = await shop.browser.post('/people', {
    name: 'Tam Other',
    signIn: 'Tam',
    roles: ['checker'],
    passphrase,
  });
  expect(reply.statusCode).toBe(422);
});

test.each([
  ['no role', { roles: [] as string[] }, 'Roles: needs at least one role'],
  ['a role of its own', { roles: ['owner'] }, 'Roles: has one that is no role here'],
  ['no name', { name: '  ' }, 'Name: must not be empty'],
  ['a very long name', { name: 'n'.repeat(200) }, 'Name: takes at most 80 characters'],
])('a person with %s is refused, and what was typed is kept', async (_name, wrong, sentence) => {
  const { browser, store } = await keeper();
  const reply = await browser.post('/people', {
    name: 'Tam Whitlock',
    signIn: 'tam-w',
    roles: ['checker'],
    passphrase,
    ...wrong,
  });
  expect(reply.statusCode).toBe(422);
  expect(toMend(reply.body)[0]).toMatch(sentence);
  expect(reply.body).toContain('value="tam-w"');
  expect(store.shop.state().people).toHaveLength(1);
});

test.each([
  ['retired', { active: 'no', roles: ['fitter', 'keeper'] }],
  ['no keeper any more', { active: 'yes', roles: ['fitter'] }],
])('the last keeper cannot be %s', async (_name, change) => {
  const { browser, store } = await keeper();
  const reply = await browser.post('/people/ines', { name: 'Ines Okafor', passphrase, ...change });
  expect(reply.statusCode).toBe(422);
  expect(toMend(reply.body)[0]).toContain('leaves the shop without a keeper');
  expect(store.shop.state().people[0]?.roles).toContain('keeper');
});

test('a name with markup in it is shown as it was typed', async () => {
  const { browser } = await keeper();
  await browser.post('/people', {
    name: '<script>alert(1)</script>',
    signIn: 'script',
    roles: ['fitter'],
    passphrase,
  });
  const page = await browser.get('/people');
  expect(page.body).not.toContain('<script>alert');
  expect(page.body).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
});

test('a keeper ends another person’s sessions', async () => {
  const shop = await keeper();
  addPerson(shop, 'tam', 'Tam Whitlock', ['checker']);
  const tam = signedIn(shop, 'tam');
  await shop.browser.post('/people/tam/sessions/end', {}, { page: '/people/tam' });
  expect((await tam.get('/account')).statusCode).toBe(303);
});

test('a change of an own passphrase asks for the one in force', async () => {
  const { browser } = await keeper();
  const reply = await browser.post(
    '/account/passphrase',
    { current: 'not it at all', passphrase: `${passphrase}-2`, again: `${passphrase}-2` },
    { page: '/account' },
  );
  expect(reply.statusCode).toBe(422);
  expect(toMend(reply.body)).toEqual([
    'Passphrase now: is not yours: type the passphrase that you sign in with',
  ]);
});

test('instruments are added, calibrated anew and taken off the shelf, and mistakes are told by field', async () => {
  const { browser, store } = await keeper();
  const meter = { kind: 'multimeter', name: 'Yellow meter', serial: 'YM-0417', calibrated: '2026-06-01' };
  const wrong = await browser.post('/instruments', {
    ...meter,
    calibrated: '1 June',
    'ohms.percent': 'half',
    'ohms.counts': '3',
  });
  expect(toMend(wrong.body)).toEqual([
    'Last calibrated: must be a day such as 2026-11-25',
    'Ohms, % of reading: must be a number such as 0.5',
    'Ohms, last digit: is needed with the other figures beside it',
    'OL above: is needed with the other figures beside it',
  ]);
  expect(
    (
      await browser.post('/instruments', {
        ...meter,
        'volts.percent': '0,5',
        'volts.counts': '2',
        'volts.resolution': '0.1',
      })
    ).statusCode,
  ).toBe(303);
  const [kept] = store.shop.state().instruments;
  expect(kept).toMatchObject({
    serial: 'YM-0417',
    volts: { percent: 0.5, counts: 2, resolution: 0.1 },
    retired: false,
  });
  expect(toMend((await browser.post('/instruments', meter)).body)).toEqual([
    'Serial number: is that of Yellow meter, which is on the shelf already',
  ]);
  await browser.post(`/instruments/${kept?.id}`, { ...meter, calibrated: '2026-11-01', retired: 'yes' });
  expect(store.shop.state().instruments).toMatchObject([{ calibrated: '2026-11-01', retired: true }]);
});

test('a person whose form is sent twice is one person, and the passphrase that is shown last is the one that works', async () => {
  const { app, browser, store } = await keeper();
  const form = { ...tokensOf((await browser.get('/people')).body), name: 'Tam Whitlock', signIn: 'tam' };
  const send = (more = {}) => browser.postRaw('/people', { ...form, roles: 'checker', passphrase, ...more });
  const replies = [await send(), await send()];
  const given = replies.map(({ body }) => /<code>([a-z0-9-]+)<\/code>/.exec(body)?.[1] as string);
  expect(replies.map((r) => r.statusCode)).toEqual([200, 200]);
  expect(store.shop.state().people.map((p) => p.signIn)).toEqual(['ines', 'tam']);
  expect((await new Browser(app).signIn('tam', given[0])).statusCode).toBe(422);
  const tam = new Browser(app, '192.0.2.4');
  expect((await tam.signIn('tam', given[1])).statusCode).toBe(303);
  const own = `${passphrase}-own`;
  await tam.post(
    '/account/passphrase',
    { current: given[1] as string, passphrase: own, again: own },
    { page: '/account' },
  );
  const late = await send();
  expect([late.statusCode, late.headers.location]).toEqual([303, expect.stringMatching(/^\/people\/\w+$/)]);
  expect((await send({ name: 'Somebody Else' })).statusCode).toBe(422);
  expect((await send({ _key: '' })).statusCode).toBe(422);
  expect(store.shop.state().people).toHaveLength(2);
  expect((await new Browser(app, '192.0.2.5').signIn('tam', own)).statusCode).toBe(303);
});

test('an instrument whose form is sent twice stands on the shelf once and is answered alike', async () => {
  const { browser, store } = await keeper();
  const form = { ...tokensOf((await browser.get('/instruments')).body), kind: 'multimeter' };
  const meter = { ...form, name: 'Yellow meter', serial: 'YM-0417', calibrated: '2026-06-01' };
  for (let time = 0; time < 2; time += 1) {
    const reply = await browser.postRaw('/instruments', meter);
    expect([reply.statusCode, reply.headers.location]).toEqual([303, '/instruments']);
  }
  expect(store.shop.state().instruments).toHaveLength(1);
  expect((await browser.postRaw('/instruments', { ...meter, serial: 'YM-0418' })).statusCode).toBe(422);
  expect(store.shop.state().instruments).toHaveLength(1);
});
