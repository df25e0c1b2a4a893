import { expect, test } from 'vitest';
import { demoMeter } from '../../../seed-demo/demo-script.js';
import { playedShop } from '../played-shop.js';
import { formOn, plain } from '../read-form.js';
import { addPerson, passphrase, shopUnderTest, signedIn } from '../shop-under-test.js';

const words = (html: string) => plain(html.replace(/<[^>]+>/g, ' ')).replace(/\s+/g, ' ');

/** Two keepers with the same page open, and its form as each has it. */
async function bothOpen(url: string, shop: Awaited<ReturnType<typeof shopUnderTest>>) {
  addPerson(shop, 'ada', 'Ada Brook', ['keeper']);
  const [ines, ada] = [signedIn(shop, 'ines'), signedIn(shop, 'ada')];
  const open = async (browser: typeof ines): Promise<Record<string, string>> =>
    formOn((await browser.get(url)).body, url);
  return { ines, ada, mine: await open(ines), theirs: await open(ada) };
}

test('an older form of a person does not bring back whom another keeper has retired meanwhile, and says who did', async () => {
  const shop = await shopUnderTest();
  addPerson(shop, 'per', 'Per Lindqvist', ['fitter']);
  const url = '/people/per';
  const { ines, ada, mine, theirs } = await bothOpen(url, shop);
  const per = () => shop.store.shop.state().people.find((p) => p.id === 'per');
  const retired = { ...theirs, active: 'no', passphrase };
  expect((await ada.postRaw(url, retired)).statusCode).toBe(303);
  // An answer that was lost: the same form again is no quarrel with itself.
  expect((await ada.postRaw(url, retired)).statusCode).toBe(303);
  const renamed = { ...mine, name: 'Per Lindqvist the Elder', passphrase };
  const refused = await ines.postRaw(url, renamed);
  expect(refused.statusCode).toBe(409);
  expect(words(refused.body)).toMatch(/Ada Brook , .* person changed Per Lindqvist, fitter, retired/);
  expect(per()?.active).toBe(false);
  const back = formOn(refused.body, url);
  expect(back.name).toBe('Per Lindqvist the Elder');
  expect((await ines.postRaw(url, { ...back, active: 'no', passphrase })).statusCode).toBe(303);
  expect(per()).toMatchObject({ name: 'Per Lindqvist the Elder', active: false });
});

test('an older form of an instrument does not undo the day or the shelf that another set meanwhile', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const url = `/instruments/${demoMeter.id}`;
  const { ines, ada, mine, theirs } = await bothOpen(url, shop);
  expect((await ada.postRaw(url, { ...theirs, due: '2026-01-31' })).statusCode).toBe(303);
  const refused = await ines.postRaw(url, { ...mine, name: 'the old meter' });
  expect([refused.statusCode, words(refused.body)]).toEqual([
    409,
    expect.stringMatching(/Ada Brook , .* instrument changed .* holds until 31 Jan 2026, on the shelf/),
  ]);
  const meter = shop.store.shop.state().instruments.find((i) => i.id === demoMeter.id);
  expect(meter?.due).toBe('2026-01-31');
});

test('nor does an older form of the shop', async () => {
  const shop = await shopUnderTest();
  const { ines, ada, mine, theirs } = await bothOpen('/shop', shop);
  expect((await ada.postRaw('/shop', { ...theirs, name: 'Bench and Van' })).statusCode).toBe(303);
  const refused = await ines.postRaw('/shop', { ...mine, place: 'Bay 2' });
  expect(refused.statusCode).toBe(409);
  expect(shop.store.shop.state()).toMatchObject({ name: 'Bench and Van', place: '' });
});
