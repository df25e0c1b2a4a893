import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { Browser as Plain, passphrase, shopUnderTest } from '../web/shop-under-test.js';
import { openChromium } from './chromium.js';
import { axeFinds, contentWidth, smallTargets } from './page-faults.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

const pages = [
  '/',
  '/?q=nothing',
  '/people',
  '/people/ines',
  '/instruments',
  '/shop',
  '/account',
  '/glossary',
  '/verify',
  '/jobs/new',
  '/nowhere',
];

/** Where a link is part of a sentence and need be no larger. */
const sentences = 'p:not(.top-name), dd, .skip, [aria-hidden]';
const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

test.each([
  ['light', true],
  ['dark', true],
  ['light', false],
] as const)(
  'every page of the shop fits 320 px, has targets for a thumb and nothing that axe finds (%s, scripts: %s)',
  async (colorScheme, javaScriptEnabled) => {
    const shop = await shopUnderTest();
    const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
    const context = await browser.newContext({
      viewport: { width: 320, height: 640 },
      javaScriptEnabled,
      colorScheme,
    });
    onTestFinished(() => context.close());
    const page = await context.newPage();
    const problems: string[] = [];
    const look = async (name: string) => {
      const content = await contentWidth(page);
      if (content > 320) problems.push(`${name} is ${content} px wide`);
      problems.push(...(await smallTargets(page, sentences)).map((what) => `${name}: ${what}`));
      if (!javaScriptEnabled) return;
      const violations = await axeFinds(page, { tags });
      problems.push(...violations.map((v) => `${name}: ${v.id} ${v.nodes[0]?.html}`));
    };

    await page.goto(`${site}/sign-in`);
    await look('/sign-in');
    await page.fill('#f-signIn', 'ines');
    await page.fill('#f-passphrase', passphrase);
    await page.click('button.go');
    for (const path of pages) {
      await page.goto(`${site}${path}`);
      await look(path);
    }
    await page.goto(`${site}/instruments`);
    await page.click('text=Put it on the shelf');
    await look('/instruments, to be mended');
    expect(problems).toEqual([]);
  },
  120_000,
);

test('the first-start page is as good, and the whole set-up works by keyboard alone', async () => {
  const { app, setUp, store } = await shopUnderTest({ named: false });
  const site = await app.listen({ port: 0, host: '127.0.0.1' });
  const context = await browser.newContext({ viewport: { width: 320, height: 640 } });
  onTestFinished(() => context.close());
  const page = await context.newPage();
  await page.goto(site);
  expect((await axeFinds(page)).map((v) => v.id)).toEqual([]);
  const type = async (...texts: string[]) => {
    for (const text of texts) {
      await page.keyboard.press('Tab');
      await page.keyboard.type(text);
    }
  };
  await page.keyboard.press('Tab');
  expect(await page.locator(':focus').textContent()).toBe('Skip to the page');
  await page.keyboard.press('Enter');
  await type(setUp.printed, 'Thimble Lane Vanworks', '', '555-0142');
  await page.keyboard.press('Tab');
  await page.keyboard.press('ArrowDown');
  await type('Mountain', 'Ines Okafor', 'ines', passphrase, passphrase);
  await page.keyboard.press('Enter');
  await page.waitForURL(`${site}/`);
  expect(store.shop.state()).toMatchObject({
    named: true,
    reach: '555-0142',
    units: 'metric',
    zone: 'America/Denver',
    people: [{ signIn: 'ines' }],
  });
});

test('every id that a label, a hint or an error names is on the page', async () => {
  const { app } = await shopUnderTest();
  const plain = new Plain(app);
  await plain.signIn('ines');
  for (const path of pages) {
    const { body } = await plain.get(path);
    const ids = new Set([...body.matchAll(/\sid="([^"]+)"/g)].map((m) => m[1]));
    const named = [...body.matchAll(/\s(?:for|aria-labelledby|href="#|data-unit-of)="?([^"]+)"/g)].map(
      (m) => m[1] as string,
    );
    expect([path, named.filter((id) => !id.startsWith('/') && !ids.has(id))]).toEqual([path, []]);
    expect([path, ids.size]).toEqual([path, [...body.matchAll(/\sid="([^"]+)"/g)].length]);
  }
});
