import { expect, test } from 'vitest';
import type { NewShopEntry } from '../../../src/logbook/shop-entry.js';
import { addPerson, type Browser, shopUnderTest, signedIn, tokensOf } from '../shop-under-test.js';

async function shopOfThree() {
  const shop = await shopUnderTest();
  addPerson(shop, 'tam', 'Tam Whitlock', ['checker']);
  addPerson(shop, 'odd', 'Oddný Bakke', ['keeper']);
  const write = (by: string, entry: NewShopEntry) =>
    shop.store.shop.append({ by: { id: by, name: by }, decide: () => ({ ok: true, value: [entry] }) });
  return { ...shop, write };
}

const told = async (browser: Browser, url = '/account') =>
  [...(await browser.get(url)).body.matchAll(/<li>(\d+ \w+ \d{4}, [^<]*)<\/li>/g)].map((m) => m[1]);

test('a passphrase that was given at the machine is told to every keeper on every page, until each has said that they read it', async () => {
  const shop = await shopOfThree();
  const [ines, odd, tam] = ['ines', 'odd', 'tam'].map((who) => signedIn(shop, who)) as [
    Browser,
    Browser,
    Browser,
  ];
  expect(await told(ines)).toEqual([]);
  shop.write('machine', { kind: 'passphrase set', subject: 'odd', body: { how: 'at-the-machine' } });
  for (const keeper of [ines, odd])
    for (const page of ['/', '/account', '/people', '/shop'])
      expect([page, await told(keeper, page)]).toEqual([
        page,
        [expect.stringContaining('Oddný Bakke was given a new passphrase at the machine itself')],
      ]);
  expect(await told(tam)).toEqual([]);

  const page = (await ines.get('/people')).body;
  const seq = /name="seq" value="(\d+)"/.exec(page)?.[1] as string;
  const read = await ines.postRaw('/account/notices', { ...tokensOf(page), seq, next: '/people' });
  expect(read.headers.location).toBe('/people');
  expect([await told(ines), (await told(odd)).length]).toEqual([[], 1]);
  shop.write('machine', { kind: 'passphrase set', subject: 'odd', body: { how: 'at-the-machine' } });
  expect((await told(ines)).length).toBe(1);
});

test('a person is told what another did to them, and nobody is told what is yet to come', async () => {
  const shop = await shopOfThree();
  const tam = signedIn(shop, 'tam');
  await tam.post('/account/notices', { seq: '999999999' }, { page: '/account' });
  shop.write('ines', { kind: 'passphrase set', subject: 'tam', body: { how: 'one-time' } });
  shop.write('ines', {
    kind: 'person changed',
    subject: 'tam',
    body: { name: 'Tam Whitlock', roles: ['fitter'], active: true },
  });
  shop.write('tam', { kind: 'passphrase set', subject: 'tam', body: { how: 'own' } });
  expect(await told(tam)).toEqual([
    expect.stringContaining('ines gave you a new passphrase for one sign-in'),
    expect.stringContaining('You are Tam Whitlock, fitter.'),
  ]);
  for (const next of ['//evil.example', 'https://evil.example/', '/\\evil.example'])
    expect(
      (await tam.post('/account/notices', { seq: '1', next }, { page: '/account' })).headers.location,
    ).toBe('/');
});

test('nobody is told what they did themselves, nor of the passphrase that came with their name', async () => {
  const shop = await shopOfThree();
  const ines = signedIn(shop, 'ines');
  const body = { name: 'Ines Okafor', roles: ['fitter', 'checker', 'keeper'] as const, active: true };
  shop.write('ines', { kind: 'person changed', subject: 'ines', body: { ...body, roles: [...body.roles] } });
  expect(await told(ines)).toEqual([]);

  const hand = { name: 'Nia Brook', signIn: 'nia', roles: ['fitter' as const], vouchedBy: '' };
  shop.write('ines', { kind: 'person added', subject: 'nia', body: hand });
  const given: NewShopEntry = { kind: 'passphrase set', subject: 'nia', body: { how: 'one-time' } };
  shop.write('ines', given);
  const nia = signedIn(shop, 'nia');
  expect(await told(nia)).toEqual([]);
  shop.write('ines', given);
  expect(await told(nia)).toHaveLength(1);
});

test('nothing is told to whoever has a passphrase that another knows, until they chose their own', async () => {
  const shop = await shopOfThree();
  const tam = signedIn(shop, 'tam');
  shop.write('ines', { kind: 'passphrase set', subject: 'tam', body: { how: 'one-time' } });
  const own = shop.store.secrets.get('passphrase:tam') ?? '';
  shop.store.secrets.put('passphrase:tam', `once:${Date.parse('2099-01-01')}:${own}`);
  expect((await tam.get('/account')).statusCode).toBe(200);
  expect(await told(tam)).toEqual([]);
  shop.store.secrets.put('passphrase:tam', own);
  expect(await told(tam)).toHaveLength(1);
});
