import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser, BrowserContextOptions } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { addresses } from '../../src/web/routes.js';
import { openChromium } from '../journeys/chromium.js';
import { everyPage, noPages, oneOfEach, type Visit, visit } from '../journeys/every-page.js';
import { contrastFaults } from '../journeys/page-contrast.js';
import { axeFinds } from '../journeys/page-faults.js';
import { geometryFaults } from '../journeys/page-geometry.js';
import { heardFaults } from '../journeys/page-heard.js';
import { watchLoading } from '../journeys/page-loading.js';
import { watchStrictness } from '../journeys/page-strictness.js';
import { setApart } from '../journeys/set-apart.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

async function openWindow(options: BrowserContextOptions, by = browser) {
  const context = await by.newContext({ reducedMotion: 'reduce', ...options });
  onTestFinished(() => context.close());
  return context.newPage();
}

test('at 320 px, which is 1280 px at 400 %, a thumb can hit everything, nothing is cut, covered or outside, every text stands at 7:1 and every ring of the focus at 3:1 in both themes, nothing moves or weighs while it loads, and nothing is asked of anybody else', async () => {
  const page = await openWindow({ viewport: { width: 320, height: 568 } });
  const loading = await watchLoading(page);
  const strictness = await watchStrictness(page);
  const visits = oneOfEach(await everyPage());
  const faults: string[] = [];
  const heaviest = { style: 0, script: 0 };
  for (const each of visits) {
    await visit(page, each);
    const { shift, style, script } = await loading();
    heaviest.style = Math.max(heaviest.style, style);
    heaviest.script = Math.max(heaviest.script, script);
    const found = [
      ...(await strictness()),
      ...(await geometryFaults(page)),
      ...(await contrastFaults(page)),
      ...(shift > 0 ? [`moves by ${shift} while it loads`] : []),
    ];
    faults.push(...found.map((fault) => `${each.name}: ${fault}`));
  }
  console.info(
    `${visits.length} pages; ${heaviest.style} bytes of style, ${heaviest.script} of script at most`,
  );
  expect(faults).toEqual([]);
  expect(heaviest.style).toBeGreaterThan(1000);
  expect(heaviest.style).toBeLessThan(30_000);
  expect(heaviest.script).toBeGreaterThan(1000);
  expect(heaviest.script).toBeLessThan(15_000);
  const pattern = (url: string) => new RegExp(`^${url.replace(/:\w+/g, '[^/]+')}(\\?.*)?$`);
  const unseen = addresses
    .filter(([method, url]) => method === 'GET' && !noPages.includes(url))
    .filter(([, url]) => !visits.some(({ path }) => pattern(url).test(path)));
  expect(unseen).toEqual([]);
});

test('axe finds nothing on any page, in either theme, and a screen reader is told all by names of their own', async () => {
  const page = await openWindow({ viewport: { width: 320, height: 568 } });
  const faults: string[] = [];
  for (const each of oneOfEach(await everyPage())) {
    await visit(page, each);
    faults.push(...(await heardFaults(page)).map((fault) => `${each.name}: ${fault}`));
    // Colours are all that the hour changes.
    for (const [colorScheme, only] of [
      ['light', {}],
      ['dark', { rules: ['color-contrast'] }],
    ] as const) {
      await page.emulateMedia({ colorScheme });
      for (const { id, nodes } of await axeFinds(page, only))
        faults.push(`${each.name} (${colorScheme}): ${id} ${nodes[0]?.html.slice(0, 120)}`);
    }
  }
  expect(faults).toEqual([]);
});

test.each([390, 1280])(
  'with text twice as large in a window of %s px nothing is cut, covered or outside',
  async (width) => {
    const large = await openChromium(['--blink-settings=defaultFontSize=32']);
    onTestFinished(() => large.close());
    const page = await openWindow({ viewport: { width, height: 780 } }, large);
    const faults: string[] = [];
    for (const each of oneOfEach(await everyPage())) {
      await visit(page, each);
      faults.push(...(await geometryFaults(page)).map((fault) => `${each.name}: ${fault}`));
    }
    expect(faults).toEqual([]);
  },
);

test('with letters, words and lines set apart nothing is cut, covered or outside at 320 px', async () => {
  const page = await openWindow({ viewport: { width: 320, height: 568 }, bypassCSP: true });
  const faults: string[] = [];
  for (const each of oneOfEach(await everyPage())) {
    await visit(page, each);
    await setApart(page);
    faults.push(...(await geometryFaults(page)).map((fault) => `${each.name}: ${fault}`));
  }
  expect(faults).toEqual([]);
});

/** Pictures of every page, kept in `.test-output/pictures` for whoever looks. */
const kept = new URL('../../.test-output/pictures/', import.meta.url).pathname;

test.each([
  ['phone', 390],
  ['desk', 1280],
] as const)(
  'every page on a %s, %s px wide, is a picture by day and by lamplight, with nothing out of its place',
  async (device, width) => {
    const page = await openWindow({ viewport: { width, height: 800 } });
    const visits = oneOfEach(await everyPage());
    const faults: string[] = [];
    for (const colorScheme of ['light', 'dark'] as const) {
      rmSync(join(kept, `${device}-${colorScheme}`), { recursive: true, force: true });
      mkdirSync(join(kept, `${device}-${colorScheme}`), { recursive: true });
    }
    for (const [k, each] of visits.entries()) {
      await visit(page, each);
      faults.push(...(await geometryFaults(page)).map((fault) => `${each.name}: ${fault}`));
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme });
        await page.screenshot({
          path: join(kept, `${device}-${colorScheme}`, pictureName(k, each)),
          fullPage: true,
          type: 'jpeg',
          quality: 85,
        });
      }
    }
    console.info(`${visits.length} pages, each by day and by lamplight, in ${kept}${device}-*`);
    expect(faults).toEqual([]);
  },
);

function pictureName(k: number, { name }: Visit): string {
  return `${String(k + 1).padStart(3, '0')}-${name.replace(/\W+/g, '-')}.jpg`;
}
