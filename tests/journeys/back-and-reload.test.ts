import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { playedShop } from '../web/played-shop.js';
import { passphrase } from '../web/shop-under-test.js';
import { press } from './careful-fitter.js';
import { openChromium, openPhone } from './chromium.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

test.each([true, false])(
  'back, forward and reload after a reading write nothing again and say nothing twice; scripts: %s',
  async (scripts) => {
    const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
    const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
    const { page, faults } = await openPhone(browser, { scripts });
    onTestFinished(() => page.context().close());
    await page.goto(`${site}/sign-in`);
    await page.fill('[name=signIn]', 'ines');
    await page.fill('[name=passphrase]', passphrase);
    await press(page, 'button.go');
    const reading = `${site}/jobs/${shop.number}/readings/ground-path.bench`;
    await page.goto(reading);
    const before = shop.entries().length;
    await page.fill('[name=ohms]', '0.03');
    await press(page, '#entry button.go');
    expect(page.url()).toBe(`${site}/jobs/${shop.number}/readings/ground-path.press`);
    expect(await page.textContent('.said')).toMatch(/0\.03\sΩ, pass/);
    const written = () => shop.entries().length - before;
    await page.reload();
    expect([written(), await page.locator('.said').count()]).toEqual([1, 0]);
    await page.goBack();
    expect(page.url()).toBe(reading);
    expect(await page.textContent('#verdict .verdict-shown')).toMatch(/0\.03\sΩ/);
    await page.reload();
    await page.goForward();
    expect(await page.textContent('h1')).toMatch(/^G2 /);
    expect([written(), faults]).toEqual([1, []]);
    // What was typed and not sent is still there on the way back.
    if (!scripts) return;
    await page.fill('[name=ohms]', '0.0');
    await page.waitForSelector('.draft-status:not([hidden])');
    await page.goto(`${site}/jobs/${shop.number}`);
    await page.goBack();
    await page.waitForSelector('.draft-status:not([hidden])');
    expect([await page.inputValue('[name=ohms]'), written()]).toEqual(['0.0', 1]);
  },
);
