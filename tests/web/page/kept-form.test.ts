import { expect, test } from 'vitest';
import { openedJob } from '../../store/temp-store.js';
import { playedShop } from '../played-shop.js';
import { formOn, plain } from '../read-form.js';
import {
  addPerson,
  Browser,
  here,
  passphrase,
  shopUnderTest,
  signedIn,
  tokensOf,
  toMend,
} from '../shop-under-test.js';

const said = (html: string) => /<p id="filled-again">([^<]*)</.exec(html)?.[1];
const keptIn = (html: string) => /name="kept" value="([^"]*)"/.exec(html)?.[1];

/** Ines has filled in a reading's form, and meanwhile her session has ended. */
async function readingOfAnEndedSession() {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  addPerson(shop, 'per', 'Per Lindqvist', ['fitter']);
  const url = `/jobs/${shop.number}/readings/ground-path.bench`;
  const browser = signedIn(shop, 'ines');
  const form: Record<string, string> = formOn((await browser.get(url)).body, url);
  Object.assign(form, { ohms: '0.07', note: 'By the step, "left"' });
  const before = shop.entries().length;
  shop.store.sessions.endAll('ines');
  const refused = await browser.postRaw(url, form, here);
  const signIn = (as: string, more = {}, headers = here) =>
    browser.postRaw(
      '/sign-in',
      { ...formOn(browser.last!.body, '/sign-in'), signIn: as, passphrase, ...more },
      headers,
    );
  return { ...shop, url, browser, form, refused, signIn, written: () => shop.entries().length - before };
}

test('what was typed when the session was over is filled in again after signing in, and written only when it is sent', async () => {
  const { url, browser, form, refused, signIn, written } = await readingOfAnEndedSession();
  expect(refused.statusCode).toBe(401);
  expect(refused.body).toContain('You are no longer signed in, so nothing of this form was written.');
  expect(refused.body).toContain('What was typed is kept on this page, not sent yet');
  const wrong = await signIn('ines', { passphrase: 'not hers at all' });
  expect(wrong.statusCode).toBe(422);
  const into = await signIn('ines');
  expect([into.statusCode, into.headers.location]).toEqual([
    303,
    expect.stringMatching(`^${url}\\?_again=[\\w-]{22}$`),
  ]);
  const page = await browser.get(String(into.headers.location));
  expect(said(page.body)).toMatch(/^Filled in again, not sent yet: look through it, then send it\./);
  const again = formOn(page.body, url);
  expect(again).toMatchObject({ ohms: '0.07', note: form.note, instrument: form.instrument, _page: url });
  expect(written()).toBe(0);
  // Loaded again it is there still; the page by itself is as ever.
  expect(formOn((await browser.get(String(into.headers.location))).body, url).ohms).toBe('0.07');
  expect(formOn((await browser.get(url)).body, url).ohms).toBe('');
  expect((await browser.postRaw(url, again, here)).statusCode).toBe(303);
  expect(written()).toBe(1);
});

test('another person who signs in is told whose it was and that it goes under their own name', async () => {
  const { url, browser, signIn } = await readingOfAnEndedSession();
  const { body } = await browser.get(String((await signIn('per')).headers.location));
  expect(said(body)).toMatch(/^Ines Okafor typed this\. .* written down under your name/);
  expect(formOn(body, url)).toMatchObject({ ohms: '0.07', _by: 'per' });
});

test('nobody else may open what is kept for one person, and it is kept for an hour', async () => {
  const shop = await readingOfAnEndedSession();
  const address = String((await shop.signIn('ines')).headers.location);
  const gone = 'What was to be filled in here is not kept any more.';
  const other = (await signedIn(shop, 'per').get(address)).body;
  expect([said(other), formOn(other, shop.url).ohms]).toEqual([gone, '']);
  const elsewhere = address.replace('ground-path.bench', 'bond.bench');
  expect((await shop.browser.get(elsewhere)).body).not.toContain('0.07');
  shop.clock.move(3_600_000);
  expect(said((await shop.browser.get(address)).body)).toBe(gone);
});

test.each([
  ['says that it comes from another site', { origin: 'http://elsewhere.test' }, 403],
  ['says so in another way', { 'sec-fetch-site': 'cross-site' }, 403],
  ['does not say where it comes from', {}, 401],
])('nothing is brought back where a form %s', async (_what, headers, status) => {
  const { url, browser, form } = await readingOfAnEndedSession();
  const reply = await browser.postRaw(url, form, headers);
  expect([reply.statusCode, reply.body.includes('0.07')]).toEqual([status, false]);
});

test.each([
  ['elsewhere', { origin: 'http://elsewhere.test' }],
  ['somewhere', {}],
])(
  'nor is it put before somebody who is signed in as if they had typed it, where it comes from %s',
  async (_where, headers) => {
    const { url, browser, form, signIn } = await readingOfAnEndedSession();
    await signIn('ines');
    const reply = await browser.postRaw(url, { ...form, _csrf: 'made-up' }, headers);
    expect([reply.statusCode, keptIn(reply.body)]).toEqual([403, undefined]);
  },
);

test('nor where it brings no cookie of this shop', async () => {
  const shop = await readingOfAnEndedSession();
  for (const cookie of ['', 'inlet=forged.AAAA']) {
    const stranger = new Browser(shop.app);
    stranger.cookie = cookie;
    const reply = await stranger.postRaw(shop.url, shop.form, here);
    expect([reply.statusCode, reply.body.includes('0.07')]).toEqual([401, false]);
  }
});

test('a form of nobody’s page, sent on by hand, brings nothing back either', async () => {
  const { url, browser, form } = await readingOfAnEndedSession();
  for (const _page of ['', 'https://elsewhere.test/', '//elsewhere.test', '/nowhere', '/sign-out']) {
    const reply = await browser.postRaw(url, { ...form, _page }, here);
    expect([_page, keptIn(reply.body)]).toEqual([_page, undefined]);
  }
  await browser.get('/sign-in');
  for (const kept of ['{', '[]', '{"page":"//elsewhere.test","by":"","seen":"","files":0,"typed":{}}']) {
    const tokens = tokensOf((await browser.get('/sign-in')).body);
    const reply = await browser.postRaw(
      '/sign-in',
      { ...tokens, signIn: 'ines', passphrase, kept, next: '/' },
      here,
    );
    expect([kept, reply.headers.location]).toEqual([kept, '/']);
    browser.cookie = '';
  }
});

test('a passphrase goes along with nothing, and another signs with no name but their own', async () => {
  const shop = await playedShop();
  addPerson(shop, 'per', 'Per Lindqvist', ['fitter', 'checker']);
  const url = `/jobs/${shop.number}/record`;
  const browser = signedIn(shop, 'ines');
  const strokes = '[[[0.1,0.2],[0.3,0.4]]]';
  const form = { ...formOn((await browser.get(url)).body, url), passphrase: 'a secret of hers' };
  shop.store.sessions.endAll('ines');
  const typed = { ...form, 'signature.name': 'Ines Okafor', 'signature.strokes': strokes };
  const refused = await browser.postRaw(url, typed, here);
  expect(refused.body).not.toContain('a secret of hers');
  const fields = { ...formOn(refused.body, '/sign-in'), passphrase };
  const per = Object.assign(new Browser(shop.app), { cookie: browser.cookie });
  const into = await per.postRaw('/sign-in', { ...fields, signIn: 'per' }, here);
  const page = await per.get(String(into.headers.location));
  expect(formOn(page.body, url)).toMatchObject({
    'signature.name': 'Per Lindqvist',
    'signature.strokes': '',
  });
});

test('photos are read past and not kept, and that is said at the sign-in and in the form', async () => {
  const shop = await playedShop((job) => job.next?.step.asks.some((ask) => ask.kind === 'photo') === true);
  const step = shop.job().next!.step;
  const url = `/jobs/${shop.number}/steps/${step.id}`;
  const browser = signedIn(shop, 'ines');
  const form = formOn((await browser.get(url)).body, url);
  const photo = step.asks.find((ask) => ask.kind === 'photo')!;
  const tick = step.asks.find((ask) => ask.kind === 'tick' || ask.kind === 'note' || ask.kind === 'value')!;
  shop.store.sessions.endAll('ines');
  const parts = new FormData();
  for (const [name, value] of Object.entries({ ...form, [`ask.${tick.id}`]: 'yes' }))
    parts.append(name, value);
  parts.append(`photo.${photo.id}`, new Blob([Buffer.alloc(2_000_000)]), 'a.jpg');
  const reply = await browser.postParts(url, parts, here);
  const files = 'The file beside it, such as a photo, is not kept: choose it again.';
  expect([reply.statusCode, reply.body.includes(files)]).toEqual([401, true]);
  const kept = plain(keptIn(reply.body) ?? '');
  expect(JSON.parse(kept)).toMatchObject({
    page: url,
    by: 'ines',
    files: 1,
    typed: { [`ask.${tick.id}`]: 'yes' },
  });
  await browser.get('/sign-in');
  const tokens = tokensOf(browser.last!.body);
  const into = await browser.postRaw('/sign-in', { ...tokens, signIn: 'ines', passphrase, kept }, here);
  const page = await browser.get(String(into.headers.location));
  expect(said(page.body)).toContain(files);
  expect(formOn(page.body, url)[`ask.${tick.id}`]).toBe('yes');
});

test('a circuit that was typed comes back with all its outlets', async () => {
  const shop = await shopUnderTest();
  const number = openedJob(shop.store);
  const url = `/jobs/${number}/circuit`;
  const browser = signedIn(shop, 'ines');
  const more = await browser.post(url, { ...formOn((await browser.get(url)).body, url), act: 'add-outlet' });
  const typed = { ...formOn(more.body, url), 'run.1.place': 'By the press' };
  shop.store.sessions.endAll('ines');
  const refused = await browser.postRaw(url, typed, here);
  const fields = { ...formOn(refused.body, '/sign-in'), signIn: 'ines', passphrase };
  const into = await browser.postRaw('/sign-in', fields, here);
  const back = formOn((await browser.get(String(into.headers.location))).body, url);
  expect(back['run.1.place']).toBe('By the press');
});

test('whoever has to choose a passphrase first finds what they typed behind that', async () => {
  const shop = await readingOfAnEndedSession();
  const hash = shop.store.secrets.get('passphrase:ines');
  shop.store.secrets.put('passphrase:ines', `once:${hash}`);
  const into = await shop.signIn('ines');
  expect(into.headers.location).toBe('/account');
  const own = 'quarry-otter-lantern-spindle-27';
  await shop.browser.post(
    '/account/passphrase',
    { current: passphrase, passphrase: own, again: own },
    { page: '/account' },
  );
  const { body } = await shop.browser.get('/account');
  const href = /href="([^"]*)">To what you typed before, not sent yet</.exec(body)?.[1] ?? '';
  expect(formOn((await shop.browser.get(plain(href))).body, shop.url).ohms).toBe('0.07');
});

test('a page to sign in that was open for long, or was tried too often, keeps what goes along', async () => {
  const { browser, signIn, clock, url } = await readingOfAnEndedSession();
  clock.move(3 * 3_600_000);
  const stale = await signIn('ines');
  expect([stale.statusCode, toMend(stale.body).length]).toEqual([403, 1]);
  expect(formOn(stale.body, '/sign-in').signIn).toBe('ines');
  let tries = 0;
  while ((await signIn('ines', { passphrase: 'not hers' })).statusCode !== 429 && tries < 30) tries += 1;
  expect(keptIn(browser.last!.body)).toBeDefined();
  clock.move(3_600_000);
  const into = await signIn('ines');
  expect(String(into.headers.location)).toMatch(url);
});
