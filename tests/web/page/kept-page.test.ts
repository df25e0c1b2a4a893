import { expect, test } from 'vitest';
import { playedShop } from '../played-shop.js';
import { signedIn, tokensOf } from '../shop-under-test.js';

const step = (number: string) => `/jobs/${number}/steps/last-word`;

test('a page that is kept carries the tokens of whoever asks, new ones each time, and nobody else’s name', async () => {
  const shop = await playedShop();
  const checker = signedIn(shop, 'tam');
  const seen = [];
  for (const browser of [shop.fitter, checker, shop.fitter, checker])
    seen.push((await browser.get(step(shop.number))).body);
  const names = seen.map((html) =>
    ['Ines Okafor</a>', 'Tam Whitlock</a>'].filter((name) => html.includes(name)),
  );
  expect(names).toEqual([
    ['Ines Okafor</a>'],
    ['Tam Whitlock</a>'],
    ['Ines Okafor</a>'],
    ['Tam Whitlock</a>'],
  ]);
  const persons = seen.map((html) => /data-person="([^"]*)"/.exec(html)?.[1]);
  expect(persons).toEqual(['ines', 'tam', 'ines', 'tam']);
  const tokens = seen.map(tokensOf).flatMap(({ _csrf, _key }) => [_csrf, _key]);
  expect(tokens.every((token) => /^[\w-]{20,}$/.test(token))).toBe(true);
  expect(new Set(tokens).size).toBe(tokens.length);
  expect(seen.join('')).not.toMatch(/csrf-[0-9a-f]{8}-|key-[0-9a-f]{8}-/);
});

test('every form of a kept page has a key of its own', async () => {
  const shop = await playedShop();
  await shop.fitter.get(step(shop.number));
  const { body } = await shop.fitter.get(step(shop.number));
  const keys = [...body.matchAll(/name="_key" value="([^"]*)"/g)].map((m) => m[1]);
  expect(keys.length).toBeGreaterThan(0);
  expect(new Set(keys).size).toBe(keys.length);
});

test('a kept page is drawn anew once the job, the shop or the hour is another, and says what is said once only once', async () => {
  const shop = await playedShop();
  const url = step(shop.number);
  const first = (await shop.fitter.get(url)).body;
  expect(first).not.toContain('Open again:');
  const reopened = await shop.fitter.post(
    `${url}/reopening`,
    { reason: 'the plate was read wrong' },
    { page: url },
  );
  expect(reopened.statusCode).toBe(303);
  const after = (await shop.fitter.get(url)).body;
  expect(after).toContain('The step is open again.');
  expect(after).toContain('the plate was read wrong');
  const again = (await shop.fitter.get(url)).body;
  expect(again).not.toContain('The step is open again.');
  expect(again).toContain('the plate was read wrong');

  const named = await shop.fitter.post('/shop', {
    name: 'Thimble Lane Annex',
    place: '',
    units: 'metric',
    zone: 'UTC',
  });
  expect(named.statusCode).toBe(303);
  await shop.fitter.get('/shop');
  expect((await shop.fitter.get(url)).body).toContain('Thimble Lane Annex');

  const kept = shop.app.services.keptPages;
  const before = new Set(kept.keys());
  shop.clock.move(3_600_000);
  await shop.fitter.get(url);
  expect([...kept.keys()].filter((key) => !before.has(key))).toHaveLength(1);
});

test('a person who may no longer sign in is shown no kept page', async () => {
  const shop = await playedShop();
  const checker = signedIn(shop, 'tam');
  expect((await checker.get(step(shop.number))).statusCode).toBe(200);
  await shop.fitter.post('/people/tam/sessions/end', {}, { page: '/people/tam' });
  const refused = await checker.get(step(shop.number));
  expect([refused.statusCode, refused.headers.location?.startsWith('/sign-in')]).toEqual([303, true]);
});

test('every page of a job that says the same is drawn once, and anew for who may do more', async () => {
  const shop = await playedShop();
  const checker = signedIn(shop, 'tam');
  const urls = ['', '/readings', '/sheet', '/logbook', '/parts/inlet'].map(
    (end) => `/jobs/${shop.number}${end}`,
  );
  const { keptPages } = shop.app.services;
  for (const url of urls) {
    const [first, again] = [(await shop.fitter.get(url)).body, (await shop.fitter.get(url)).body];
    expect(withoutTokens(again), url).toBe(withoutTokens(first));
    const own = keptPages.keys().filter((key) => key.endsWith(` ${url}`));
    expect(own, url).toHaveLength(1);
    // A page that nothing is sent from carries no token at all.
    const token = tokensOf(first)._csrf || 'no token';
    expect(keptPages.get(own[0] as string)?.pieces.join(''), url).not.toContain(token);
    expect((await checker.get(url)).body, url).toContain('Tam Whitlock</a>');
    expect(keptPages.keys().filter((key) => key.endsWith(` ${url}`))).toHaveLength(2);
  }
  await shop.fitter.post(
    `/jobs/${shop.number}/rest`,
    { reason: 'the van is away' },
    { page: urls[0] as string },
  );
  await shop.fitter.get(urls[0] as string);
  for (const url of [urls[0], urls[3]] as string[])
    expect((await shop.fitter.get(url)).body, url).toContain('the van is away');
});

const withoutTokens = (html: string) => html.replaceAll(/value="[\w-]{20,}"/g, '');

test('no more is kept than a small machine has room for: who was not asked for longest goes', async () => {
  const shop = await playedShop();
  const { keptPages } = shop.app.services;
  await shop.fitter.get(step(shop.number));
  const [first = ''] = keptPages.keys();
  for (let k = 0; k < 420; k += 1) {
    await shop.fitter.get(`${step(shop.number)}?k=${k}`);
    if (k % 100 === 0) await shop.fitter.get(step(shop.number));
    expect(keptPages.bytes).toBeLessThanOrEqual(16 * 1024 * 1024);
  }
  const keys = keptPages.keys();
  expect(keys).toContain(first);
  expect(keys.some((key) => key.endsWith('?k=0'))).toBe(false);
  expect(keys.some((key) => key.endsWith('?k=419'))).toBe(true);
  const bytes = keys
    .flatMap((key) => keptPages.get(key)?.pieces ?? [])
    .reduce((sum, p) => sum + (typeof p === 'string' ? 0 : p.length), 0);
  expect(keptPages.bytes).toBe(bytes);
});
