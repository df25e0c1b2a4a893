import { mkdirSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { assetAddress } from '../../src/web/page/assets.js';
import { shopUnderTest } from '../web/shop-under-test.js';
import { openChromium } from './chromium.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

/** One frame for each family of states; inside a family the word tells them apart. */
const frames = ['done', 'fail', 'unproven', 'held', 'ready', 'conceded', 'note', 'plain'];
const verdicts = ['pass', 'fail', 'unproven'];
const kept = new URL('../../.test-output/pictures/states/', import.meta.url).pathname;

test.each([
  ['by day', { colorScheme: 'light' }],
  ['by lamplight', { colorScheme: 'dark' }],
  ['in the system’s own colours', { forcedColors: 'active' }],
] as const)(
  'without any colour the frames of all states are told apart with the same word in them, %s',
  async (name, options) => {
    const context = await browser.newContext({ ...options, viewport: { width: 320, height: 400 } });
    onTestFinished(() => context.close());
    const page = await context.newPage();
    const { app } = await shopUnderTest({ named: false });
    const style = (await app.inject({ url: assetAddress('inlet.css') })).body;
    const words = frames.map((frame) => `<p><span class="word word-${frame}" id="${frame}">state</span></p>`);
    const cards = verdicts.map(
      (verdict) =>
        `<section class="verdict-card verdict-${verdict}" id="card-${verdict}"><p>state</p></section>`,
    );
    await page.setContent(`<style>${style}</style><main>${words.join('')}${cards.join('')}</main>`);
    mkdirSync(kept, { recursive: true });
    await page.screenshot({ path: `${kept}${name.replace(/\W+/g, '-')}.png`, fullPage: true });
    const alike = [
      ...(await lookAlike(page, frames)),
      ...(await lookAlike(
        page,
        verdicts.map((verdict) => `card-${verdict}`),
      )),
    ];
    expect(alike).toEqual([]);
  },
);

/** The pairs of which fewer than one in twenty-five grey dots are plainly another, laid over one another from the left above. */
async function lookAlike(page: Page, ids: readonly string[]): Promise<string[]> {
  const pictures: { id: string; dots: Buffer }[] = [];
  for (const id of ids) {
    const shot = await page.locator(`#${id}`).screenshot();
    // The size is told by the frame as well, but a state is no size: every picture is brought to one.
    const grey = sharp(shot).resize(120, 40, { fit: 'fill' }).greyscale();
    pictures.push({ id, dots: await grey.raw().toBuffer() });
  }
  return pictures.flatMap((a, k) =>
    pictures.slice(k + 1).flatMap((b) => {
      const other = a.dots.filter((dot, at) => Math.abs(dot - (b.dots[at] as number)) > 60).length;
      return other < a.dots.length / 25 ? [`${a.id} and ${b.id}: ${other} of ${a.dots.length} dots`] : [];
    }),
  );
}
