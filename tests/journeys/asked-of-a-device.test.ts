import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { playedShop } from '../web/played-shop.js';
import { openChromium } from './chromium.js';
import { atADesk } from './hands.js';
import { sitDown } from './person.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

test.each([true, false])(
  'what only a ground-fault device is asked is not shown for a receptacle, and stays chosen; scripts: %s',
  async (javaScriptEnabled) => {
    const shop = await playedShop((job) => job.log.steps.size === 0);
    const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
    const fitter = await sitDown(browser, atADesk, {
      viewport: { width: 390, height: 780 },
      javaScriptEnabled,
    });
    await fitter.signIn(site, 'ines');
    const { page } = fitter;
    await page.goto(`${site}/jobs/${shop.number}/circuit`);
    const asked = async (k: number) =>
      Promise.all(
        ['openNeutral', 'selfTest'].map((name) => page.locator(`[name="run.${k}.${name}"]`).isVisible()),
      );
    expect(await asked(0)).toEqual([true, true]);
    expect(await asked(1)).toEqual([false, false]);
    await page.selectOption('[name="run.0.device"]', 'receptacle');
    await page.selectOption('[name="run.1.device"]', 'gfci-receptacle');
    expect(await asked(0)).toEqual([false, false]);
    expect(await asked(1)).toEqual([true, true]);
    const [first] = shop.job().circuit.run;
    await fitter.press('button.go[value=save]');
    expect(shop.job().circuit.run[0]).toEqual({ ...first, device: 'receptacle' });
  },
);
