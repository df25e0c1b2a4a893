import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { openChromium } from '../journeys/chromium.js';
import { atADesk, byKeyboard, byThumb, type Hands } from '../journeys/hands.js';
import { type JobAtStage, shopWithDefects } from '../journeys/shop-at-every-stage.js';
import { passphrase } from '../web/shop-under-test.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

/** From sign-in to a defect's mend; everything is reached by these hands alone. */
async function mend(hands: Hands, site: string, { number, job }: JobAtStage, options: object) {
  const context = await browser.newContext({ ...options, reducedMotion: 'reduce' });
  onTestFinished(() => context.close());
  const page = await context.newPage();
  const at = (selector: string) => page.locator(selector).first();
  await page.goto(`${site}/sign-in`);
  await hands.type(page, at('[name=signIn]'), 'ines');
  await hands.type(page, at('[name=passphrase]'), passphrase);
  await hands.press(page, at('main button.go'));
  await hands.press(page, at(`h2 a[href="/jobs/${number}"]`));
  await hands.press(page, at('.next a.go'));
  await hands.type(page, at('#mend [name=found]'), 'The lead was not on its pin.');
  await hands.type(page, at('#mend [name=done]'), 'Put it there.');
  await hands.tick(page, at('[name=disturbs][value=nothing-touched]'));
  await hands.press(page, at('#mend button.go'));
  expect(job().defects[0]?.status).not.toBe('open');
}

test('a person signs in, finds the job and writes down a mend by keyboard alone with the focus in sight at every stop, by thumb at 320 px, and without scripts', async () => {
  const { shop, stopped } = await shopWithDefects(3);
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const [first, second, third] = stopped as [JobAtStage, JobAtStage, JobAtStage];
  await mend(byKeyboard, site, first, { viewport: { width: 1280, height: 800 } });
  const phone = { viewport: { width: 320, height: 568 }, hasTouch: true, isMobile: true };
  await mend(byThumb, site, second, phone);
  await mend(atADesk, site, third, { javaScriptEnabled: false });
});

test('the first stop of the keyboard is the link that leads past the navigation', async () => {
  const { shop } = await shopWithDefects(0);
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const page = await browser.newPage();
  onTestFinished(() => page.close());
  await page.goto(`${site}/sign-in`);
  await page.goto(`${site}/verify`);
  await page.keyboard.press('Tab');
  expect(await page.locator(':focus').textContent()).toBe('Skip to the page');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  expect(await page.locator(':focus').getAttribute('name')).toBe('record');
});
