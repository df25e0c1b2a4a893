import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { addPerson, passphrase, shopUnderTest } from '../web/shop-under-test.js';
import { openChromium } from './chromium.js';
import { watchLoading } from './page-loading.js';
import { signIn, signOut } from './sign-in.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

/** A phone that is signed in, and the shop behind it. */
async function phone() {
  const shop = await shopUnderTest();
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const context = await browser.newContext({ viewport: { width: 360, height: 740 } });
  onTestFinished(() => context.close());
  const page = await context.newPage();
  await signIn(page, site, 'ines');
  return { ...shop, site, context, page };
}

const kept = 'Kept on this phone, not sent yet.';
/** Waits until this phone has kept all that the form holds now. */
const allKept = (page: Page) => page.locator('form[data-kept=yes]').waitFor();

test('what was typed is there again after the page is lost, is named on other pages, and is forgotten once it is sent', async () => {
  const { page, site, store } = await phone();
  await page.goto(`${site}/people`);
  await page.fill('#f-name', 'Tam Whitlock');
  await page.fill('#f-signIn', 'tam');
  await page.check('input[value="checker"]');
  await allKept(page);
  expect(await page.getByText(kept).isVisible()).toBe(true);
  const key = await page.inputValue('form[data-draft] input[name="_key"]');

  await page.goto(`${site}/shop`);
  await page.getByText('A form is kept on this phone, not sent yet:').waitFor();
  await page.click('.draft-status a');
  await page.getByText('kept on this phone, not sent yet').waitFor();
  expect(await page.inputValue('#f-name')).toBe('Tam Whitlock');
  expect(await page.isChecked('input[value="checker"]')).toBe(true);
  expect(await page.inputValue('form[data-draft] input[name="_key"]')).toBe(key);

  await page.fill('form[data-draft] input[name=passphrase]', passphrase);
  await page.click('text=Add this person');
  await page.getByText('It is shown this once').waitFor();
  expect(store.shop.state().people.map((p) => p.signIn)).toEqual(['ines', 'tam']);
  await page.goto(`${site}/people`);
  await page.waitForTimeout(300);
  expect(await page.inputValue('#f-name')).toBe('');
  expect(await page.locator('.draft-status:visible').count()).toBe(0);
});

test('what is said of a draft moves nothing that a thumb may be on its way to', async () => {
  const { page, site } = await phone();
  await page.goto(`${site}/people`);
  const tops = () =>
    page.$$eval(
      'form[data-draft] :is(input:not([type=hidden]), button:not(.draft-status button))',
      (controls) =>
        controls.map((control) => {
          const form = control.closest('form') ?? control;
          return control.getBoundingClientRect().top - form.getBoundingClientRect().top;
        }),
    );
  const before = await tops();
  await page.check('input[value="checker"]');
  await allKept(page);
  await page.getByText(kept).waitFor();
  expect(before.length).toBeGreaterThan(5);
  expect(await tops()).toEqual(before);
  // Nor what follows the first word of it.
  const said = await page.locator('form[data-draft] .draft-status').boundingBox();
  await page.check('input[value="fitter"]');
  await allKept(page);
  expect((await page.locator('form[data-draft] .draft-status').boundingBox())?.height).toBe(said?.height);
});

test('no page moves while it says what this phone kept, and what the keyboard comes to is not behind it', async () => {
  const { page, site } = await phone();
  const loading = await watchLoading(page);
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await page.goto(`${site}/people`);
  await page.fill('#f-name', 'Tam Whitlock');
  await allKept(page);
  for (const [path, said] of [
    ['/people', 'kept on this phone, not sent yet'],
    ['/shop', 'A form is kept on this phone, not sent yet:'],
    ['/', 'A form is kept on this phone, not sent yet:'],
  ] as const) {
    await page.goto(`${site}${path}`);
    await page.locator('#on-phone').getByText(said).waitFor();
    await page.evaluate('new Promise((next) => requestAnimationFrame(() => requestAnimationFrame(next)))');
    expect([path, (await loading()).shift]).toEqual([path, 0]);
    await page.locator('main :is(a, button, input:not([type=hidden]))').last().focus();
    const focused = await page.locator(':focus').boundingBox();
    const box = await page.locator('#on-phone').boundingBox();
    const low = (focused?.y ?? 0) + (focused?.height ?? 0);
    expect(low, path).toBeLessThanOrEqual(box?.y ?? 0);
  }
});

test('without a connection nothing is sent and nothing is lost', async () => {
  const { page, site, context, store } = await phone();
  await page.goto(`${site}/people`);
  await page.fill('#f-name', 'Tam Whitlock');
  await page.fill('#f-signIn', 'tam');
  await page.check('input[value="checker"]');
  await allKept(page);
  await context.setOffline(true);
  await page.fill('form[data-draft] input[name=passphrase]', passphrase);
  await page.click('text=Add this person');
  await page.getByText('No connection. Kept on this phone; send it when there is one.').waitFor();
  expect(store.shop.state().people).toHaveLength(1);
  await context.setOffline(false);
  await page.getByText('There is a connection again: send it now.').waitFor();
  await page.fill('form[data-draft] input[name=passphrase]', passphrase);
  await page.click('text=Add this person');
  await page.getByText('It is shown this once').waitFor();
  expect(store.shop.state().people).toHaveLength(2);
});

test('a form that is refused keeps what was typed, and so does one that found the session ended', async () => {
  const { page, site, store } = await phone();
  await page.goto(`${site}/people`);
  await page.fill('#f-name', 'Tam Whitlock');
  await page.fill('#f-signIn', 'ines');
  await page.check('input[value="checker"]');
  await allKept(page);
  await page.fill('form[data-draft] input[name=passphrase]', passphrase);
  await page.click('text=Add this person');
  await page.getByRole('heading', { name: 'One thing to mend' }).waitFor();
  expect(await page.locator(':focus').getAttribute('class')).toBe('errors');
  expect(await page.inputValue('#f-name')).toBe('Tam Whitlock');

  await page.fill('#f-signIn', 'tam');
  await allKept(page);
  store.sessions.endAll('ines');
  await page.fill('form[data-draft] input[name=passphrase]', passphrase);
  await page.click('text=Add this person');
  await page.getByRole('heading', { name: 'Sign in first' }).waitFor();
  await page.goto(`${site}/sign-in?next=/people`);
  await page.getByText('What was typed in a form is kept on this phone').waitFor();
  await page.fill('#f-signIn', 'ines');
  await page.fill('#f-passphrase', passphrase);
  await page.click('button.go');
  await page.waitForURL(`${site}/people`);
  await page.getByText('kept on this phone, not sent yet').waitFor();
  expect(await page.inputValue('#f-signIn')).toBe('tam');
  await page.fill('form[data-draft] input[name=passphrase]', passphrase);
  await page.click('text=Add this person');
  await page.getByText('It is shown this once').waitFor();
});

test('another person on the same phone neither sees nor sends what was kept, and signing out keeps it for its owner', async () => {
  const shop = await phone();
  const { page, site } = shop;
  addPerson(shop, 'tam', 'Tam Whitlock', ['keeper']);
  await page.goto(`${site}/people`);
  await page.fill('#f-name', 'Somebody New');
  await allKept(page);
  await signOut(page, site);
  await signIn(page, site, 'tam');
  await page.goto(`${site}/people`);
  await page.waitForTimeout(300);
  expect(await page.inputValue('#f-name')).toBe('');
  expect(await page.locator('.draft-status:visible').count()).toBe(0);
  // Signing out threw away what the browser kept of pages, not what somebody typed.
  await signOut(page, site);
  await signIn(page, site, 'ines');
  await page.goto(`${site}/people`);
  await page.getByText('kept on this phone, not sent yet').waitFor();
  expect(await page.inputValue('#f-name')).toBe('Somebody New');
});

test('what is typed before the script has come is kept too', async () => {
  const { page, site } = await phone();
  let come: () => void = () => {};
  const held = new Promise<void>((resolve) => {
    come = resolve;
  });
  await page.route('**/draft.js*', async (route) => {
    await held;
    await route.continue();
  });
  await page.goto(`${site}/people`, { waitUntil: 'commit' });
  await page.fill('#f-name', 'Tam Whitlock');
  expect(await page.getByText(kept).count()).toBe(0);
  come();
  await allKept(page);
  await page.goto(`${site}/people`);
  await page.getByText('kept on this phone, not sent yet').waitFor();
  expect(await page.inputValue('#f-name')).toBe('Tam Whitlock');
});
