import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type PlayedShop, playedShop } from '../web/played-shop.js';
import { openChromium } from './chromium.js';
import { atADesk } from './hands.js';
import { type Person, sitDown } from './person.js';

/** A figure is typed first and its unit chosen after it: what stands on the page is what is meant. */

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

async function fitterOf(shop: PlayedShop): Promise<{ fitter: Person; site: string }> {
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const fitter = await sitDown(browser, atADesk, { viewport: { width: 390, height: 780 } });
  await fitter.signIn(site, 'ines');
  return { fitter, site };
}

test('a reading of 0.02 kΩ is 20 Ω, also where the unit is chosen after the figure', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const { fitter, site } = await fitterOf(shop);
  await fitter.page.goto(`${site}/jobs/${shop.number}/readings/ground-path.bench`);
  await fitter.type('[name=ohms]', '0.02');
  await fitter.page.selectOption('[name="ohms.unit"]', 'kΩ');
  expect(await fitter.page.inputValue('[name=ohms]')).toBe('0.02');
  await fitter.press('#entry button.go');
  expect(shop.job().readings.get('ground-path.bench')).toMatchObject({
    verdict: 'fail',
    taken: { body: { shown: { ohms: 20 } } },
  });
});

test('a torque is in the unit that is chosen after it', async () => {
  const step = 'prove-hand-work.bench';
  const shop = await playedShop((job) => job.next?.step.id === step);
  const { fitter, site } = await fitterOf(shop);
  await fitter.page.goto(`${site}/jobs/${shop.number}/steps/${step}`);
  const torque = fitter.at('#write [inputmode=decimal]');
  const name = await torque.getAttribute('name');
  await torque.fill('1.6');
  await fitter.page.selectOption(`[name="${name}.unit"]`, 'N·m');
  expect(await torque.inputValue()).toBe('1.6');
});

test('in a circuit the figure that the page gave is converted, and one that was typed is not', async () => {
  const shop = await playedShop((job) => job.log.steps.size === 0);
  const { fitter, site } = await fitterOf(shop);
  const { page } = fitter;
  await page.goto(`${site}/jobs/${shop.number}/circuit`);
  await page.selectOption('[name="cord.lengthM.unit"]', 'm');
  expect(await page.inputValue('[name="cord.lengthM"]')).toBe('7.62');
  await page.selectOption('[name="cord.lengthM.unit"]', 'ft');
  expect(await page.inputValue('[name="cord.lengthM"]')).toBe('25');
  await page.fill('[name="cord.lengthM"]', '9');
  await page.selectOption('[name="cord.lengthM.unit"]', 'm');
  expect(await page.inputValue('[name="cord.lengthM"]')).toBe('9');
});
