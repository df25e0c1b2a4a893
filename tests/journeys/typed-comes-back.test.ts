import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test, vi } from 'vitest';
import { AppError } from '../../src/errors.js';
import { playedShop } from '../web/played-shop.js';
import { addPerson, passphrase } from '../web/shop-under-test.js';
import { openChromium, openPhone } from './chromium.js';
import { geometryFaults } from './page-geometry.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

/** A phone at its narrowest with a shop in the midst of a job, by the machine's own clock. */
async function phone(scripts: boolean) {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  addPerson(shop, 'per', 'Per Lindqvist', ['fitter', 'keeper']);
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const { page } = await openPhone(browser, { scripts, width: 320 });
  onTestFinished(() => page.context().close());
  const signIn = async (name: string) => {
    await page.fill('[name=signIn]', name);
    await page.fill('[name=passphrase]', passphrase);
    await page.click('form[action="/sign-in"] button.go');
  };
  await page.goto(`${site}/sign-in`);
  await signIn('ines');
  const before = shop.entries().length;
  return {
    shop,
    site,
    page,
    signIn,
    job: `${site}/jobs/${shop.number}`,
    written: () => shop.entries().length - before,
  };
}

const said = (page: Page) => page.textContent('[data-filled]');

/** The forms of a job and of the shop: what is typed, and the button. Each page is its own `_page`. */
const forms = (
  job: string,
  site: string,
  done: string,
): readonly (readonly [string, Record<string, string>, string])[] => [
  [`${job}/readings/ground-path.bench`, { ohms: '0.07', note: 'By the step' }, '#entry button.go'],
  [`${job}/steps/${done}`, { reason: 'Once more' }, 'form[action$="/reopening"] button'],
  [`${job}/defects`, { what: 'A nick in the jacket' }, 'form[action$="/defects"] button.go'],
  [`${job}/circuit`, { 'run.0.place': 'By the kettle' }, 'button.go[value=save]'],
  [`${job}/description`, { place: 'The yard' }, 'main form button.go'],
  [job, { reason: 'It rains' }, 'form[action$="/rest"] button:not([formaction])'],
  [`${site}/jobs/new`, { 'vehicle.description': 'A van with shelves' }, 'main form button.go'],
  [`${site}/instruments`, { name: 'A meter' }, 'form[action="/instruments"] button'],
  [`${site}/people`, { name: 'Somebody New', signIn: 'new' }, 'form[action="/people"] button'],
  [`${site}/shop`, { place: 'By the canal' }, '#named button'],
  [`${site}/readings-without-a-job`, { 'row.0.value': '0.3' }, 'main form button.go'],
];

test('without scripts no form loses what was typed to a session that ended', async () => {
  const { shop, site, page, signIn, job, written } = await phone(false);
  const lost: unknown[] = [];
  const done = [...shop.job().steps.values()].find(({ status }) => status === 'done')?.step.id ?? '';
  for (const [address, typed, button] of forms(job, site, done)) {
    await page.goto(address);
    for (const fold of await page.$$('details:not([open]) > summary')) await fold.click();
    for (const [name, text] of Object.entries(typed))
      await page.locator(`[name="${name}"]`).first().fill(text);
    shop.store.sessions.endAll('ines');
    await page.locator(button).first().click();
    if (!(await page.content()).includes('You are no longer signed in')) lost.push([address, 'no 401']);
    await signIn('ines');
    if (page.url().split('?')[0] !== address) lost.push([address, page.url()]);
    for (const [name, text] of Object.entries(typed)) {
      const field = page.locator(`[name="${name}"]`).first();
      if ((await field.inputValue()) !== text || !(await field.isVisible())) lost.push([address, name]);
    }
    if (!(await said(page))?.startsWith('Filled in again, not sent yet'))
      lost.push([address, await said(page)]);
  }
  expect(lost).toEqual([]);
  expect(written()).toBe(0);
});

test.each([true, false])(
  'the pages on which what was typed comes back stand on the narrowest phone; scripts: %s',
  async (scripts) => {
    const { shop, page, signIn, job, written } = await phone(scripts);
    const address = `${job}/readings/ground-path.bench`;
    const faults: unknown[] = [];
    const look = async (name: string) => {
      faults.push(...(await geometryFaults(page)).map((fault) => `${name}: ${fault}`));
    };
    const typeAndSend = async () => {
      await page.goto(address);
      await page.fill('[name=ohms]', '0.07');
      // The plain way, as a page without scripts sends it, or a script that cannot reach its store.
      await page.$eval('#entry', (form) => (form as unknown as { submit(): void }).submit());
    };
    await page.goto(address);
    const gone = vi
      .spyOn(shop.store.logbook, 'appendTogether')
      .mockRejectedValue(new AppError('logbook-broken'));
    await typeAndSend();
    await page.getByText('What you typed is kept on this page, not sent yet.').waitFor();
    await look('closed');
    await page.click('text=Fill it in again');
    expect(await page.inputValue('[name=ohms]')).toBe('0.07');
    await look('filled in again');
    if (scripts) expect(await page.locator(':focus').getAttribute('data-filled')).toBe('');
    gone.mockRestore();
    await page.goto(address);
    await page.fill('[name=ohms]', '0.07');
    shop.store.sessions.endAll('ines');
    await page.$eval('#entry', (form) => (form as unknown as { submit(): void }).submit());
    await page.getByText('You are no longer signed in').waitFor();
    await look('sign in first');
    await signIn('per');
    expect(await said(page)).toContain('Ines Okafor typed this.');
    expect(await page.inputValue('[name=ohms]')).toBe('0.07');
    await look('of another');
    await page.click('#entry button.go');
    await page.waitForURL((url) => !url.search.includes('_again'));
    expect([written(), shop.entries().at(-1)?.by.id, faults]).toEqual([1, 'per', []]);
  },
);

test('with scripts a form of the shop comes back the same way, and its draft neither covers it nor stays behind', async () => {
  const { shop, site, page, signIn } = await phone(true);
  await page.goto(`${site}/people`);
  await page.fill('#f-name', 'Somebody New');
  await page.fill('#f-signIn', 'new');
  await page.check('input[value="checker"]');
  await page.locator('form[data-kept=yes]').waitFor();
  shop.store.sessions.endAll('ines');
  await page.fill('form[data-draft] [name=passphrase]', passphrase);
  await page.click('text=Add this person');
  await page.getByText('You are no longer signed in').waitFor();
  await signIn('ines');
  expect(await said(page)).toContain('Filled in again, not sent yet');
  expect(await page.inputValue('#f-name')).toBe('Somebody New');
  expect(await page.isChecked('input[value="checker"]')).toBe(true);
  await page.fill('form[data-draft] [name=passphrase]', passphrase);
  await page.click('text=Add this person');
  await page.getByText('It is shown this once').waitFor();
  await page.goto(`${site}/people`);
  await page.waitForTimeout(300);
  expect([await page.inputValue('#f-name'), await page.locator('.draft-status:visible').count()]).toEqual([
    '',
    0,
  ]);
});
