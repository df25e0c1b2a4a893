import { expect, test } from 'vitest';
import { openShopSigner } from '../../../src/store/shop-signer.js';
import { Browser, passphrase, shopUnderTest, toMend } from '../shop-under-test.js';

const filled = {
  shopName: 'Thimble Lane Vanworks',
  place: '',
  reach: '',
  units: 'metric',
  zone: 'America/Denver',
  name: 'Ines Okafor',
  signIn: 'ines',
  passphrase,
  again: passphrase,
};

test('an empty data folder leads every page to the set-up', async () => {
  const { app } = await shopUnderTest({ named: false });
  const browser = new Browser(app);
  for (const url of ['/', '/people', '/sign-in', '/jobs/2026-001']) {
    const reply = await browser.get(url);
    expect([url, reply.statusCode, reply.headers.location]).toEqual([url, 303, '/set-up']);
  }
});

test('the set-up makes the shop, its first person and its signing key, and signs that person in', async () => {
  const { app, store, setUp } = await shopUnderTest({ named: false });
  const browser = new Browser(app);
  const reply = await browser.post('/set-up', { ...filled, token: setUp.printed });
  expect(reply.statusCode).toBe(303);
  const shop = store.shop.state();
  expect(shop).toMatchObject({
    named: true,
    name: 'Thimble Lane Vanworks',
    units: 'metric',
    zone: 'America/Denver',
  });
  expect(shop.people).toMatchObject([
    { name: 'Ines Okafor', roles: ['fitter', 'checker', 'keeper'], active: true },
  ]);
  expect(openShopSigner(store).fingerprint).toBe(shop.key?.fingerprint);
  expect((await browser.get('/shop')).statusCode).toBe(200);
});

test('the token works once', async () => {
  const { app, store, setUp } = await shopUnderTest({ named: false });
  const [first, second] = [new Browser(app), new Browser(app)];
  await first.get('/set-up');
  await second.get('/set-up');
  const page = await second.get('/set-up');
  await first.post('/set-up', { ...filled, token: setUp.printed });
  const token = /name="_csrf" value="([^"]*)"/.exec(page.body)?.[1] as string;
  const again = await second.postRaw('/set-up', {
    ...filled,
    signIn: 'mallory',
    token: setUp.printed,
    _csrf: token,
  });
  expect(again.statusCode).toBe(404);
  expect(setUp.matches(setUp.printed, new Date('2026-11-25T08:00:00Z'))).toBe(false);
  expect(store.shop.state().people).toHaveLength(1);
});

test('the token expires', async () => {
  const { app, store, clock, setUp } = await shopUnderTest({ named: false });
  clock.move(61 * 60_000);
  const reply = await new Browser(app).post('/set-up', { ...filled, token: setUp.printed });
  expect(reply.statusCode).toBe(422);
  expect(store.shop.state().named).toBe(false);
});

test('a token is read whatever its case and however it is grouped', async () => {
  const { app, setUp } = await shopUnderTest({ named: false });
  const reply = await new Browser(app).post('/set-up', {
    ...filled,
    token: ` ${setUp.printed.toUpperCase().replaceAll('-', ' ')} `,
  });
  expect(reply.statusCode).toBe(303);
});

const mistakes: readonly (readonly [
  string,
  Partial<Record<keyof typeof filled | 'token', string>>,
  string,
])[] = [
  [
    'no token',
    { token: '' },
    'Set-up token from the terminal: is not the one that the terminal shows, or it has expired',
  ],
  [
    'a guessed token',
    { token: 'aaaaa-aaaaa-aaaaa-aaaaa' },
    'Set-up token from the terminal: is not the one that the terminal shows, or it has expired',
  ],
  ['no zone', { zone: '' }, 'Time zone: choose one of the list'],
  ['no shop', { shopName: '  ' }, 'Name of the shop: must not be empty'],
  ['a shop of 81 letters', { shopName: 'x'.repeat(81) }, 'Name of the shop: takes at most 80 characters'],
  ['units of its own', { units: 'cubits' }, 'Units: choose one of the two'],
  ['no name', { name: '' }, 'Your name: must not be empty'],
  [
    'a sign-in with a space',
    { signIn: 'ines okafor' },
    'Sign-in name: takes 2 to 40 letters, digits, points, dashes or underscores',
  ],
  [
    'a short passphrase',
    { passphrase: 'short', again: 'short' },
    'Passphrase: needs at least 12 characters; four or five words do well',
  ],
  [
    'a passphrase of 129 letters',
    { passphrase: 'ab cd'.repeat(26), again: 'ab cd'.repeat(26) },
    'Passphrase: takes at most 128 characters',
  ],
  [
    'a passphrase that anyone would try',
    { passphrase: 'Password 12345', again: 'Password 12345' },
    'Passphrase: is made of what anyone would try first; choose another',
  ],
  [
    'a passphrase that is the name',
    { passphrase: 'Ines Okafor!', again: 'Ines Okafor!' },
    'Passphrase: is the name itself; choose another',
  ],
  [
    'too much to reach the shop by',
    { reach: '5'.repeat(121) },
    'How owners reach you: takes at most 120 characters',
  ],
  [
    'another passphrase the second time',
    { again: 'something else again' },
    'The same passphrase again: is not the same as the passphrase above',
  ],
];

test.each(mistakes)(
  '%s is told beside its field, and what was typed is kept',
  async (_name, wrong, sentence) => {
    const { app, store, setUp } = await shopUnderTest({ named: false });
    const reply = await new Browser(app).post('/set-up', {
      ...filled,
      token: setUp.printed,
      place: 'Thimble Lane',
      ...wrong,
    });
    expect(reply.statusCode).toBe(422);
    expect(toMend(reply.body)).toContain(sentence);
    expect(reply.body).toContain('value="Thimble Lane"');
    expect(reply.body).not.toContain(passphrase);
    expect(store.shop.state().named).toBe(false);
    expect(store.db.prepare('SELECT count(*) AS n FROM shop_entries').get()).toEqual({ n: 0 });
  },
);

test('what is wrong is told all at once, since passphrases are typed anew each time', async () => {
  const { app, setUp } = await shopUnderTest({ named: false });
  const wrong = { ...filled, token: setUp.printed, signIn: 'Ines Okafor', again: 'another' };
  expect(toMend((await new Browser(app).post('/set-up', wrong)).body)).toEqual([
    'Sign-in name: takes 2 to 40 letters, digits, points, dashes or underscores',
    'The same passphrase again: is not the same as the passphrase above',
  ]);
});
