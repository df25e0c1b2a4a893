import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { buildApp } from '../../src/app.js';
import { openTlsCertificate } from '../../src/command-line/tls-certificate.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { usualLimits } from '../../src/web/connection-limits.js';
import { scratchFolder } from '../scratch-folder.js';
import { sendForm, writing } from '../store/temp-store.js';
import { demoCircuit, type PlayedShop, playedShop } from '../web/played-shop.js';
import { formOn } from '../web/read-form.js';
import { Browser as Plain } from '../web/shop-under-test.js';
import { openChromium } from './chromium.js';
import { signIn, signOut } from './sign-in.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

const reading = 'ground-path.bench';
const waits = '#waiting p';

/** A job whose ground path is to be read, and a phone that Ines is signed in on. */
async function phone({ https = false } = {}) {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const { store } = shop;
  const clock = () => new Date();
  const tls = https ? openTlsCertificate(store.dir, '127.0.0.1', clock()) : undefined;
  const app = await buildApp({
    config: { logLevel: 'silent' },
    store,
    clock,
    ...(tls ? { tls } : {}),
  });
  onTestFinished(() => app.close());
  const site = await app.listen({ port: 0, host: '127.0.0.1' });
  const context = await browser.newContext({
    viewport: { width: 320, height: 640 },
    ignoreHTTPSErrors: true,
  });
  onTestFinished(() => context.close());
  const page = await context.newPage();
  page.setDefaultTimeout(60_000);
  await signIn(page, site, 'ines');
  return { ...shop, app, site, context, page, path: `${site}/jobs/${shop.number}/readings/${reading}` };
}

const take = async (page: Page, ohms: string) => {
  await page.fill('#f-ohms', ohms);
  await page.click('#entry button.go');
};
const taken = ({ entries }: Pick<PlayedShop, 'entries'>) =>
  entries().flatMap((e) => (e.kind === 'reading taken' && e.subject === `reading:${reading}` ? [e] : []));
const ohmsOf = (shop: PlayedShop) =>
  taken(shop).map((e) => ('ohms' in e.body.shown ? e.body.shown.ohms : undefined));

/** Makes what waits on the phone older, as if the signal had been away for so long. */
const waitedFor = (page: Page, minutes: number) =>
  inKept(page, `for (const form of all) form.at -= ${minutes * 60_000}`);

/** Changes what waits on the phone: `change` is a statement about `all` of it. */
async function inKept(page: Page, change: string) {
  await page.evaluate(`new Promise((resolve, reject) => {
    const open = indexedDB.open('inlet-ines');
    open.onerror = () => reject(open.error);
    open.onsuccess = () => {
      const store = open.result.transaction('waiting', 'readwrite').objectStore('waiting');
      const kept = store.getAll();
      kept.onsuccess = () => {
        const all = kept.result;
        ${change};
        for (const form of all) store.put(form, form.id);
      };
      store.transaction.oncomplete = () => (open.result.close(), resolve());
    };
  })`);
}

/** Goes to the page of the reading, cuts the network and writes a reading down, which then waits on the phone. */
async function keepOffline(
  { page, context, path }: Pick<Awaited<ReturnType<typeof phone>>, 'page' | 'context' | 'path'>,
  ohms: string,
): Promise<void> {
  await page.goto(path);
  await context.setOffline(true);
  await take(page, ohms);
  await page.getByText('Kept on this phone.').waitFor();
}

test.each([
  ['plain pages', false],
  ['a certificate of the shop’s own', true],
])(
  'with the network cut readings wait with their time and go out in order when it is back (%s)',
  async (_name, https) => {
    const shop = await phone({ https });
    const { page, context, site } = shop;
    await keepOffline(shop, '0.02');
    expect(await page.textContent(waits)).toContain('One form waits on this phone for the server');
    expect(await page.inputValue('#f-ohms')).toBe('');
    // The emptied form says nothing of its own any more: there is nothing in it to be sent or thrown away.
    expect(await page.locator('#entry .draft-status:visible').count()).toBe(0);
    // Said aloud: it came into a place that was there before.
    expect(await page.locator('[role=status] > #waiting').count()).toBe(1);
    await page.focus('#waiting button');
    await page.keyboard.press('Enter');
    await page.waitForTimeout(500);
    expect(await page.locator('#waiting:focus-within').count()).toBe(1);
    await take(page, '0.03');
    await page.getByText('2 forms wait on this phone').waitFor();
    expect(ohmsOf(shop)).toEqual([]);
    await waitedFor(page, 40);
    await context.setOffline(false);
    await page.getByText('2 forms that waited are written down now.').waitFor();
    expect(ohmsOf(shop)).toEqual([0.02, 0.03]);
    const [first] = taken(shop);
    const waitedMs = Date.parse(first?.at ?? '') - Date.parse(first?.filledIn ?? '');
    expect(waitedMs / 60_000).toBeGreaterThanOrEqual(40);
    expect(waitedMs / 60_000).toBeLessThan(45);
    await page.goto(`${site}/jobs/${shop.number}/logbook`);
    expect(await page.textContent(`#entry-${first?.seq}`)).toMatch(/filled in .*\sUTC, arrived .*\sUTC/);
    expect(await page.locator('#waiting').count()).toBe(0);
  },
  90_000,
);

test('a step with its photos waits too, and the photos are in the logbook once', async () => {
  const shop = await phone();
  const { page, context, site, number } = shop;
  const step = 'bond';
  await new Plain(shop.app).signIn('ines');
  await shop.fitter.post(
    `/jobs/${number}/steps/${step}/reopening`,
    { reason: 'looked at again' },
    { page: `/jobs/${number}/steps/${step}` },
  );
  await page.goto(`${site}/jobs/${number}/steps/${step}`);
  const picture = await sharp({ create: { width: 90, height: 60, channels: 3, background: '#835' } })
    .jpeg()
    .toBuffer();
  const before = shop.entries().filter((e) => e.kind === 'photo added').length;
  for (const input of await page.locator('input[type=file][capture]').all())
    await input.setInputFiles({ name: 'IMG_1.jpg', mimeType: 'image/jpeg', buffer: picture });
  const photos = await page.locator('input[type=file][capture]').count();
  expect(photos).toBeGreaterThan(0);
  for (const tick of await page.locator('#write-down input[type=checkbox][value=yes]').all())
    await tick.check();
  for (const choice of await page.locator('#write-down fieldset:has(input[type=radio])').all())
    await choice.locator('input[type=radio]').first().check();
  for (const text of await page.locator('#write-down input[type=text]').all())
    if ((await text.inputValue()) === '') await text.fill('2');
  await context.setOffline(true);
  await page.click('#write-down button.go');
  await page.getByText('Kept on this phone.').waitFor();
  expect(await page.textContent('#waiting li')).toMatch(new RegExp(`, ${photos} photo`));
  await context.setOffline(false);
  await page.getByText('One form that waited is written down now.').waitFor();
  expect(shop.entries().filter((e) => e.kind === 'photo added').length - before).toBe(photos);
});

test('what was taken though its answer never came is sent again and is one entry', async () => {
  const shop = await phone();
  const { page, path } = shop;
  await page.goto(path);
  let cut = 0;
  await page.route(path, async (route) => {
    if (route.request().method() !== 'POST' || cut > 0) return route.continue();
    cut += 1;
    await route.fetch({ maxRedirects: 0 });
    return route.abort('connectionreset');
  });
  await take(page, '0.02');
  await page.getByText('Kept on this phone.').waitFor();
  expect(ohmsOf(shop)).toEqual([0.02]);
  await page.click('text=Send now');
  await page.getByText('One form that waited is written down now.').waitFor();
  expect(ohmsOf(shop)).toEqual([0.02]);
});

test('one that the server will not take is kept with what was typed and why, and is mended', async () => {
  const shop = await phone();
  const { page, context, path } = shop;
  await keepOffline(shop, '0.02');
  const tam = new Plain(shop.app);
  await tam.signIn('tam');
  const address = new URL(path).pathname;
  const theirs = { ...formOn((await tam.get(address)).body, address), ohms: '0.04' };
  expect((await tam.postRaw(address, theirs)).statusCode).toBe(303);
  await context.setOffline(false);
  await page.getByText('One form was not taken: open and mend.').waitFor();
  expect(ohmsOf(shop)).toEqual([0.04]);
  await page.goto(path);
  await page.getByText('Sent later and not taken: Tam Whitlock wrote meanwhile').waitFor();
  await page.click('text=Fill it in again');
  expect(await page.inputValue('#f-ohms')).toBe('0.02');
  await page.click('#entry button.go');
  await page.locator('.said').getByText('0.02 Ω, pass').waitFor();
  expect(ohmsOf(shop)).toEqual([0.04, 0.02]);
  await page.goto(path);
  await page.waitForTimeout(300);
  expect(await page.locator('.waiting').count()).toBe(0);
});

test('a session that ended keeps the form until the same person signs in again; another person neither sends nor sees it', async () => {
  const shop = await phone();
  const { page, path, site, store } = shop;
  await page.goto(path);
  store.sessions.endAll('ines');
  await take(page, '0.02');
  await page.getByText('You are signed out: sign in, and it goes out by itself.').waitFor();
  await page.goto(`${site}/sign-in`);
  await page.getByText('One form waits on this phone: sign in as whoever filled it in').waitFor();
  await signIn(page, site, 'tam');
  await page.goto(path);
  await page.waitForTimeout(500);
  expect(await page.locator('.waiting').count()).toBe(0);
  expect(ohmsOf(shop)).toEqual([]);
  await signOut(page, site);
  await signIn(page, site, 'ines');
  await page.getByText('One form that waited is written down now.').waitFor();
  expect(ohmsOf(shop)).toEqual([0.02]);
  expect(taken(shop)[0]?.by.id).toBe('ines');
});

test('where the phone keeps nothing the form is sent as ever, and without a connection it says so', async () => {
  const shop = await phone();
  const { page, context, path } = shop;
  await page.addInitScript("Object.defineProperty(window, 'indexedDB', { value: undefined })");
  await page.goto(path);
  await context.setOffline(true);
  await take(page, '0.02');
  await page.getByText('This phone would not keep the form.').waitFor();
  expect(await page.inputValue('#f-ohms')).toBe('0.02');
  await context.setOffline(false);
  await page.click('#entry button.go');
  await page.locator('.said').getByText('0.02 Ω, pass').waitFor();
  expect(ohmsOf(shop)).toEqual([0.02]);
});

test('a form with photos is given as long as the server reads one, and says that it is still on its way', async () => {
  const shop = await phone();
  const { page, site, number } = shop;
  const step = 'bond';
  const reopening = `/jobs/${number}/steps/${step}/reopening`;
  await shop.fitter.post(reopening, { reason: 'looked at again' }, { page: `/jobs/${number}/steps/${step}` });
  await page.addInitScript(`
    globalThis.given = [];
    const timeout = AbortSignal.timeout;
    AbortSignal.timeout = (ms) => (given.push(ms), timeout.call(AbortSignal, ms));
  `);
  await page.goto(`${site}/jobs/${number}/steps/${step}`);
  let answer = () => {};
  const held = new Promise<void>((resolve) => {
    answer = resolve;
  });
  await page.route(`**/steps/${step}`, async (route) => {
    await held;
    await route.continue();
  });
  const buffer = await sharp({ create: { width: 60, height: 40, channels: 3, background: '#777' } })
    .jpeg()
    .toBuffer();
  await page
    .locator('input[type=file][capture]')
    .first()
    .setInputFiles({ name: 'a.jpg', mimeType: 'image/jpeg', buffer });
  await page.locator('#write-down button.go').click();
  await page.getByText('Still sending. Leave this page open.').waitFor();
  const [given] = (await page.evaluate('given')) as number[];
  expect(given).toBeGreaterThan(usualLimits.requestTimeout);
  answer();
});

test('what waits goes out in the order in which it was kept, though the phone’s clock was set back between', async () => {
  const shop = await phone();
  const { page, context } = shop;
  await keepOffline(shop, '0.02');
  await page.evaluate('{ const now = Date.now; Date.now = () => now() - 86_400_000; }');
  await take(page, '0.03');
  await page.getByText('2 forms wait on this phone').waitFor();
  await context.setOffline(false);
  await expect.poll(() => ohmsOf(shop)[0]).toBe(0.02);
});

test('of one draft in two tabs both forms wait, each said aloud; what is typed next is a draft that stays when they went out', async () => {
  const shop = await phone();
  const { page, context, site, path } = shop;
  await page.goto(path);
  await page.fill('#f-ohms', '0.02');
  await page.locator('form[data-kept=yes]').waitFor();
  const tab = await context.newPage();
  await tab.goto(path);
  await tab.getByText('kept on this phone, not sent yet').waitFor();
  await context.setOffline(true);
  await page.click('#entry button.go');
  await page.getByText('Kept on this phone.').waitFor();
  // The box of the draft that came with this page goes, and takes nothing along that is said of the form.
  await take(tab, '0.05');
  await tab.getByText('Kept on this phone. It goes out').waitFor();
  expect(await tab.textContent(waits)).toContain('2 forms wait on this phone');
  await tab.fill('#f-ohms', '0.07');
  await tab.locator('form[data-kept=yes]').waitFor();
  await context.setOffline(false);
  await expect.poll(() => ohmsOf(shop)).toEqual([0.02, 0.05]);
  await tab.goto(site);
  await tab.getByText('A form is kept on this phone, not sent yet:').waitFor();
  await tab.goto(path);
  await expect.poll(() => tab.inputValue('#f-ohms')).toBe('0.07');
});

test('a form that is sent in a tab after another person signed in beside it waits for its writer', async () => {
  const shop = await phone();
  const { page, context, site } = shop;
  await page.goto(shop.path);
  const beside = await context.newPage();
  await signOut(beside, site);
  await signIn(beside, site, 'tam');
  await take(page, '0.02');
  await page.getByText('You are signed out: sign in, and it goes out by itself.').waitFor();
  expect(ohmsOf(shop)).toEqual([]);
  await signOut(beside, site);
  await signIn(beside, site, 'ines');
  await expect.poll(() => taken(shop).map((e) => e.by.id)).toEqual(['ines']);
});

test('what was refused and has no form any more is shown as it was typed, and can be thrown away', async () => {
  const shop = await phone();
  const { page, context, store, number, site } = shop;
  await keepOffline(shop, '0.02');
  const run = demoCircuit.run.map((o) => (o.id === 'bench' ? { ...o, id: 'another' } : o));
  const body = { circuit: { ...demoCircuit, run, together: [] }, rules: rulesVersion, reason: 'No bench.' };
  const set = writing({ kind: 'circuit set', subject: 'circuit', body });
  sendForm(store, number, set, { by: { id: 'tam', name: 'Tam Whitlock' } });
  await context.setOffline(false);
  await page.getByText('One form was not taken: open and mend.').waitFor();
  await page.click('#waiting li a');
  await page.getByText('it no longer calls for this reading').first().waitFor();
  await page.getByText('What was typed: Shown: 0.02 Ω; With:').waitFor();
  await page.click('text=Throw it away');
  await page.locator('#on-phone p').first().waitFor({ state: 'detached' });
  await page.goto(site);
  await page.waitForTimeout(300);
  expect(await page.locator('#on-phone').count()).toBe(0);
});

/** Two readings that wait, 0.02 Ω and behind it 0.03 Ω. */
async function twoWait(shop: Awaited<ReturnType<typeof phone>>): Promise<void> {
  await keepOffline(shop, '0.02');
  await take(shop.page, '0.03');
  await shop.page.getByText('2 forms wait on this phone').waitFor();
}

/** Answers the first of two forms in the server's place, as something on the way to it may. */
const stopFirst = (page: Page, answer: { status: number; contentType: string; body: string }) =>
  page.route('**/readings/**', (route) =>
    route.request().postData()?.includes('ohms=0.02') ? route.fulfill(answer) : route.continue(),
  );

test.each([404, 413])(
  'what something on the way refuses with %i and a page of its own is told, and holds back nothing behind it',
  async (status) => {
    const shop = await phone();
    const { page, context, path } = shop;
    await twoWait(shop);
    await stopFirst(page, { status, contentType: 'text/html', body: '<h1>no</h1>' });
    await context.setOffline(false);
    await page.getByText('One form was not taken: open and mend.').waitFor();
    await expect.poll(() => ohmsOf(shop)).toEqual([0.03]);
    await page.unrouteAll();
    await page.goto(path);
    await page.getByText(`would not let it through (HTTP status ${status})`).first().waitFor();
    await page.getByRole('button', { name: 'Fill it in again' }).click();
    expect(await page.inputValue('#f-ohms')).toBe('0.02');
  },
);

test.each([
  ['a proxy without its server', { status: 502, contentType: 'text/html', body: '<h1>no</h1>' }],
  ['somebody else, in JSON', { status: 200, contentType: 'application/json', body: '{"welcome":true}' }],
])(
  'what is answered by %s is not taken: it waits, and what is behind it keeps its place',
  async (_who, answer) => {
    const shop = await phone();
    const { page, context } = shop;
    await twoWait(shop);
    await stopFirst(page, answer);
    const answered = page.waitForResponse((r) => r.request().postData()?.includes('ohms=0.02') === true);
    await context.setOffline(false);
    await answered;
    await page.waitForTimeout(500);
    expect(await page.textContent(waits)).toContain('2 forms wait on this phone');
    expect(ohmsOf(shop)).toEqual([]);
    await page.unrouteAll();
    await page.click('text=Send now');
    await expect.poll(() => ohmsOf(shop)).toEqual([0.02, 0.03]);
  },
);

test('a form whose photo the phone has lost says so, and holds back nothing behind it', async () => {
  const shop = await phone();
  const { page, context } = shop;
  await twoWait(shop);
  await inKept(
    page,
    "all.find((form) => JSON.stringify(form.fields).includes('0.02')).files = [['photo', { name: 'IMG_7.jpg' }]]",
  );
  await context.setOffline(false);
  await page.getByText('can no longer read the photo IMG_7.jpg').first().waitFor();
  await expect.poll(() => ohmsOf(shop)).toEqual([0.03]);
});

test('with what the phone keeps damaged a form that is taken leads on, and one without a connection says that it was not kept', async () => {
  const shop = await phone();
  const { page, context, path } = shop;
  await page.goto(path);
  await page.waitForTimeout(300);
  await page.evaluate(`new Promise((resolve, reject) => {
    const gone = indexedDB.deleteDatabase('inlet-ines');
    gone.onerror = gone.onblocked = reject;
    gone.onsuccess = () => {
      const bare = indexedDB.open('inlet-ines', 2);
      bare.onsuccess = () => (bare.result.close(), resolve());
    };
  })`);
  await context.setOffline(true);
  await take(page, '0.02');
  await page.getByText('This phone would not keep the form.').waitFor();
  await context.setOffline(false);
  await page.click('#entry button.go');
  await page.locator('.said').getByText('0.02 Ω, pass').waitFor();
  expect(ohmsOf(shop)).toEqual([0.02]);
});

test('a photo that was cleared away between its choice and its sending is named, and the form stays as it was typed', async () => {
  const shop = await phone();
  const { page, site, number } = shop;
  const address = `/jobs/${number}/steps/bond`;
  await shop.fitter.post(`${address}/reopening`, { reason: 'looked at again' }, { page: address });
  await page.goto(`${site}${address}`);
  const picture = join(scratchFolder(), 'IMG_8.jpg');
  await sharp({ create: { width: 60, height: 40, channels: 3, background: '#777' } }).toFile(picture);
  await page.locator('input[type=file][capture]').first().setInputFiles(picture);
  await rm(picture);
  await page.locator('#write-down button.go').click();
  await page.getByText('can no longer read the photo IMG_8.jpg: choose it anew').waitFor();
  expect(await page.locator('#write-down button.go').isVisible()).toBe(true);
});
