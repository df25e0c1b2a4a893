import { expect, test } from 'vitest';
import { workBars } from '../../../src/steps/issue-bars.js';
import { playedShop } from '../played-shop.js';
import { formOn } from '../read-form.js';
import { passphrase, signedIn, toMend } from '../shop-under-test.js';

test('the second look is signed with the checker’s own passphrase, once however often it is sent, and keeps none of it', async () => {
  const shop = await playedShop((job) => workBars(job).length === 0);
  const tam = signedIn(shop, 'tam', '192.0.2.4');
  const page = `/jobs/${shop.number}/second-look`;
  const form = formOn((await tam.get(page)).body, page);
  const before = shop.entries().length;

  const wrong = await tam.postRaw(page, { ...form, passphrase: 'another word', statement: 'Looked & saw' });
  expect([wrong.statusCode, toMend(wrong.body)]).toEqual([
    422,
    ['Your passphrase: is not yours: type the passphrase that you sign in with'],
  ]);
  expect(formOn(wrong.body, page)).toMatchObject({ statement: 'Looked & saw', passphrase: '' });
  expect(shop.entries().length).toBe(before);

  // Whoever guesses is made to wait.
  for (let time = 0; time < 4; time += 1) await tam.postRaw(page, { ...form, passphrase: `guess ${time}` });
  const waiting = await tam.postRaw(page, { ...form, passphrase });
  expect(toMend(waiting.body).join()).toMatch(/too many tries: wait \d+ seconds?/);
  shop.clock.move(60_000);

  for (let time = 0; time < 2; time += 1)
    expect((await tam.postRaw(page, { ...form, passphrase })).statusCode).toBe(303);
  expect(shop.entries().length).toBe(before + 1);
  expect(shop.entries().at(-1)).toMatchObject({ kind: 'second look signed', by: { name: 'Tam Whitlock' } });
  expect(JSON.stringify(shop.entries())).not.toContain(passphrase);
});
