import { expect, test, vi } from 'vitest';
import { playedShop } from '../played-shop.js';
import { Browser, signedIn, tokensOf } from '../shop-under-test.js';

const reason = 'the plate was read wrong';
const said = 'The step is open again.';

async function shopThatReopens() {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/steps/last-word`;
  return { ...shop, page, reopen: () => shop.fitter.post(`${page}/reopening`, { reason }, { page }) };
}

test('a form that is saved, and the page that says so, write nothing to the session’s row', async () => {
  const { store, fitter, page, reopen } = await shopThatReopens();
  await fitter.get(page);
  const row = () => store.db.prepare("SELECT * FROM sessions WHERE person = 'ines'").all();
  const before = row();
  const set = vi.spyOn(store.sessions, 'set');
  expect((await reopen()).statusCode).toBe(303);
  expect((await fitter.get(page)).body).toContain(said);
  expect(set).not.toHaveBeenCalled();
  expect(row()).toEqual(before);
});

test('what is said once is said to the device that sent the form, and to nobody after it there', async () => {
  const shop = await shopThatReopens();
  const { app, page, fitter, reopen } = shop;
  const [tam, otherPhone, stranger] = [signedIn(shop, 'tam'), signedIn(shop, 'ines'), new Browser(app)];
  const { _csrf } = tokensOf((await fitter.get(page)).body);
  await reopen();
  for (const browser of [tam, otherPhone]) expect((await browser.get(page)).body).not.toContain(said);
  expect((await stranger.get('/sign-in')).body).not.toContain(said);

  // Signed out before the next page was opened: whoever signs in on this device then is not told.
  await fitter.postRaw('/sign-out', { _csrf });
  await fitter.signIn('tam');
  expect((await fitter.get(page)).body).not.toContain(said);
});

test('of what nobody came back for, the oldest is forgotten', async () => {
  const { app, fitter, page, reopen } = await shopThatReopens();
  const { saidOnce } = app.services;
  for (let k = 0; k < 1000; k += 1) saidOnce.set(`nobody-${k}`, { text: 'x' });
  await reopen();
  expect(saidOnce.size).toBe(1000);
  expect(saidOnce.has('nobody-0')).toBe(false);
  expect((await fitter.get(page)).body).toContain(said);
});
