import { expect, test } from 'vitest';
import { playedShop } from './played-shop.js';
import { Browser, passphrase, shopUnderTest, tokensOf, toMend } from './shop-under-test.js';

test('a unit that is a word of the language and no unit is refused beside its field', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'van-dead');
  const step = `/jobs/${shop.number}/steps/van-dead`;
  const right = { 'ask.kind': 'engine', 'ask.key': 'yes', 'ask.others': 'yes', 'ask.wait': 'yes' };
  const before = shop.entries().length;
  for (const unit of ['constructor', '__proto__', 'toString']) {
    const reply = await shop.fitter.post(step, { ...right, 'ask.volts': '0', 'ask.volts.unit': unit });
    expect([unit, reply.statusCode]).toEqual([unit, 422]);
    expect(toMend(reply.body).join()).toContain(`has no unit “${unit}”`);
  }
  const two = await shop.fitter.post(step, { ...right, 'ask.volts': '1,500', 'ask.volts.unit': 'V' });
  expect(toMend(two.body).join()).toContain('write 1500 or 1.500');
  expect(shop.entries().length).toBe(before);
});

test('a text that is too long is refused whole and never cut, not even between the halves of a letter', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'van-dead');
  const job = `/jobs/${shop.number}`;
  const before = shop.entries().length;
  const place = await shop.fitter.post(
    `${job}/defects`,
    { about: `place:${'x'.repeat(113)}🔧`, what: 'odd' },
    { page: `${job}/defects` },
  );
  expect([place.statusCode, toMend(place.body).join()]).toEqual([
    422,
    expect.stringContaining('at most 114 characters'),
  ]);
  const line = await shop.fitter.post(
    `${job}/defects`,
    { about: 'sheet:constructor', what: 'odd' },
    { page: `${job}/defects` },
  );
  expect(toMend(line.body).join()).toContain('The sheet has no such line');
  const photo = await shop.fitter.postFiles(
    `${job}/steps/template-marked/photos`,
    { ask: 'mark', caption: `${'x'.repeat(199)}🔧` },
    [{ field: 'photo.mark', name: 'mark.jpg', bytes: Buffer.from('x') }],
    `${job}/steps/template-marked`,
  );
  expect([photo.statusCode, toMend(photo.body).join()]).toEqual([
    422,
    expect.stringContaining('at most 200 characters'),
  ]);
  expect(shop.entries().length).toBe(before);
});

test('letters of any script, marks that turn the direction and zero bytes are kept, and shown as text that turns nothing', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'van-dead');
  const job = `/jobs/${shop.number}`;
  const what = '👩‍🔧 \u202Eturned\u202C e\u0301 漢字 \u0000 <b>';
  const reply = await shop.fitter.post(
    `${job}/defects`,
    { about: 'place:bond', what },
    { page: `${job}/defects` },
  );
  expect(reply.statusCode).toBe(303);
  expect(shop.entries().at(-1)?.body).toMatchObject({ what });
  const { body } = await shop.fitter.get(`${job}/logbook`);
  expect(body).toContain('👩‍🔧 [U+202E]turned[U+202C] e\u0301 漢字 \u0000 &lt;b&gt;');
});

test('what an entry that is not there opens again is not found', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'van-dead');
  for (const entry of ['__proto__', '0', '99999', '1e309'])
    expect((await shop.fitter.get(`/jobs/${shop.number}/changes/${entry}`)).statusCode).toBe(404);
});

test('guesses sent all at once are no more than guesses one after the other', async () => {
  const { app } = await shopUnderTest();
  const browser = new Browser(app, '192.0.2.7');
  const tokens = tokensOf((await browser.get('/sign-in')).body);
  const replies = await Promise.all(
    Array.from({ length: 12 }, (_, k) =>
      browser.postRaw('/sign-in', { ...tokens, signIn: 'ines', passphrase: `${passphrase}-${k}` }),
    ),
  );
  expect(replies.filter((r) => r.statusCode === 422)).toHaveLength(5);
  expect(replies.filter((r) => r.statusCode === 429)).toHaveLength(7);
});
