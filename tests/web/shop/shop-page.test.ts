import { writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { openStore } from '../../../src/store/open-store.js';
import { openShopSigner } from '../../../src/store/shop-signer.js';
import { makeShop } from '../../../src/web/people/set-up-page.js';
import { standingClock, tempFolder } from '../../store/temp-store.js';
import { formOn } from '../read-form.js';
import { Browser, passphrase, shopUnderTest, toMend } from '../shop-under-test.js';

/** A shop with its key, and the keeper signed in; with `lost`, its secret is another than the key was made with. */
async function keptShop({ lost = false } = {}) {
  const dir = tempFolder();
  const clock = standingClock();
  const first = openStore({ dir, clock });
  await makeShop(
    { store: first, clock },
    {
      shop: { name: 'Thimble Lane Vanworks', place: '', units: 'imperial' },
      person: { name: 'Ines Okafor', signIn: 'ines', roles: ['fitter', 'keeper'] },
      passphrase,
    },
  );
  first.close();
  const other = JSON.stringify({ keyPassphrase: 'a'.repeat(64), cookie: 'b'.repeat(64) });
  if (lost) writeFileSync(`${dir}/shop.secret`, other);
  const shop = await shopUnderTest({ named: false, dir });
  const keeper = new Browser(shop.app);
  await keeper.signIn('ines');
  const form = async () => ({ ...formOn((await keeper.get('/shop')).body, '/shop/key'), passphrase });
  return { ...shop, keeper, form };
}

test('where the secret is lost the shop’s page says so and how to go on, and a new key signs from then', async () => {
  const { keeper, store, form } = await keptShop({ lost: true });
  const [old] = store.shop.state().keys;
  expect(() => openShopSigner(store)).toThrow(/does not open with this secret.*Put back the shop\.secret/);
  expect((await keeper.get('/shop')).body).toContain('No record can be issued.');
  const filled = { ...(await form()), reason: 'The disk was changed.' };
  for (let time = 0; time < 2; time += 1)
    expect((await keeper.postRaw('/shop/key', filled)).statusCode).toBe(303);
  const { key, keys } = store.shop.state();
  expect(keys).toHaveLength(2);
  expect(keys[0]).toEqual(old);
  expect(key?.fingerprint).not.toBe(old?.fingerprint);
  expect(openShopSigner(store).fingerprint).toBe(key?.fingerprint);
  expect((await keeper.get('/shop')).body).not.toContain('No record can be issued.');
  expect(store.shop.state().entries.at(-1)).toMatchObject({
    kind: 'key made',
    body: { reason: 'The disk was changed.' },
  });
});

test('where the key’s certificate has ended the shop’s page says so before a record is asked for', async () => {
  const { keeper, clock } = await keptShop();
  expect((await keeper.get('/shop')).body).not.toContain('No record can be issued.');
  clock.move(16 * 366 * 86_400_000);
  await keeper.signIn('ines');
  expect((await keeper.get('/shop')).body).toMatch(
    /No record can be issued\.<\/strong> The signing certificate holds from/,
  );
});

test('how owners reach the shop is changed with its name, and stays typed where it is too long', async () => {
  const { keeper, store } = await keptShop();
  const form = async (reach: string) => ({ ...formOn((await keeper.get('/shop')).body, '/shop'), reach });
  const long = await keeper.postRaw('/shop', await form('5'.repeat(121)));
  expect(toMend(long.body)).toEqual(['How owners reach you: takes at most 120 characters']);
  expect(formOn(long.body, '/shop')).toMatchObject({ reach: '5'.repeat(121) });
  expect(store.shop.state().reach).toBe('');
  expect((await keeper.postRaw('/shop', await form(' 555-0142 '))).statusCode).toBe(303);
  expect(store.shop.state()).toMatchObject({ name: 'Thimble Lane Vanworks', reach: '555-0142' });
  expect(formOn((await keeper.get('/shop')).body, '/shop')).toMatchObject({ reach: '555-0142' });
});

test('an evening is of its own day, once the shop has said its zone', async () => {
  const { keeper, store } = await keptShop();
  expect((await keeper.get('/account')).body).toContain('25 Nov 2026, 08:00 UTC');
  const form = { ...formOn((await keeper.get('/shop')).body, '/shop') };
  expect(form).toMatchObject({ zone: 'UTC' });
  const unknown = await keeper.postRaw('/shop', { ...form, zone: 'Europe/Nowhere' });
  expect(toMend(unknown.body)).toEqual(['Time zone: choose one of the list']);
  expect((await keeper.postRaw('/shop', { ...form, zone: 'Pacific/Honolulu' })).statusCode).toBe(303);
  expect(store.shop.state().zone).toBe('Pacific/Honolulu');
  const page = (await keeper.get('/account')).body;
  expect(page).toContain('24 Nov 2026, 22:00 HST');
  expect(page).not.toContain('UTC');
});

test('a new key needs its reason and the keeper’s own passphrase', async () => {
  const { keeper, store, form } = await keptShop();
  const send = async (more: Record<string, string>) =>
    toMend(
      (await keeper.postRaw('/shop/key', { ...(await form()), reason: 'It was copied.', ...more })).body,
    );
  expect(await send({ reason: ' ' })).toEqual(['Why: say why a new key is made']);
  expect(await send({ reason: 'x'.repeat(301) })).toEqual(['Why: takes at most 300 characters']);
  expect(await send({ passphrase: 'not it at all' })).toEqual([
    'Your passphrase: is not yours: type the passphrase that you sign in with',
  ]);
  expect(store.shop.state().keys).toHaveLength(1);
});
