import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { type PlayedShop, playedShop } from '../web/played-shop.js';
import { passphrase } from '../web/shop-under-test.js';
import { press, takeSoundReading, writeDown } from './careful-fitter.js';
import { openChromium } from './chromium.js';
import { axeFinds, contentWidth, smallTargets } from './page-faults.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

const withDefect = () => playedShop((job) => job.defects.some((d) => d.status === 'open'));

/** Where a link is part of a sentence or a drawing and need be no larger. */
const sentences = 'svg, p:not(.back, .actions, .top-name), dd, li:not(.line), .skip, [aria-hidden]';

test.each([
  [320, 'light'],
  [1280, 'dark'],
] as const)(
  'every page of a job fits %s px, has targets for a thumb and nothing that axe finds, in the %s theme',
  async (width, theme) => {
    const shop = await withDefect();
    const { page, site } = await signedIn(shop, { width, theme });
    const problems: string[] = [];
    for (const path of pagesOf(shop)) {
      const reply = await page.goto(`${site}${path}`);
      if (reply?.status() !== 200) problems.push(`${path} answers ${reply?.status()}`);
      problems.push(...(await looksWrong(page, width)).map((what) => `${path}: ${what}`));
    }
    await page.goto(`${site}/jobs/${shop.number}/circuit`);
    await page.fill('[name="cord.lengthM"]', 'long');
    await press(page, 'button.go[value=save]');
    problems.push(...(await looksWrong(page, width)).map((what) => `the circuit, to be mended: ${what}`));
    expect(problems).toEqual([]);
  },
  240_000,
);

test('without scripts a reading is taken, mended and taken again, a step is written down and an error keeps what was typed', async () => {
  const shop = await withDefect();
  const { page, site } = await signedIn(shop, { scripts: false });
  const job = `${site}/jobs/${shop.number}`;
  await page.goto(job);
  expect(await page.textContent('.next h2')).toContain('Mend the defect');
  await press(page, '.next a.go');
  await page.fill('[name=found]', 'Ground not in its splice.');
  await press(page, '#mend button.go');
  expect(await page.textContent('.errors')).toContain('What the mend disturbed');
  expect(await page.inputValue('[name=found]')).toBe('Ground not in its splice.');
  await page.fill('[name=done]', 'Landed, torqued, tugged.');
  await page.check('[name=disturbs][value=nothing-touched]');
  await press(page, '#mend button.go');
  await page.goto(job);
  await press(page, '.next a.go');
  if ((await page.$('#entry')) === null)
    await press(page, '#readings .reading:has(.word-missing) a, #readings .reading:has(.word-fail) a');
  await takeSoundReading(page);
  const open = shop.job().next?.step.id ?? '';
  await page.goto(`${job}/steps/${open}`);
  for (const href of await page.$$eval('#readings .reading', (lines) =>
    lines
      .filter((line) => line.querySelector('.word-missing, .word-fail') !== null)
      .map((line) => line.querySelector('a')?.getAttribute('href') ?? ''),
  )) {
    await page.goto(`${site}${href}`);
    await takeSoundReading(page);
  }
  await page.goto(`${job}/steps/${open}`);
  await writeDown(page);
  expect(shop.job().steps.get(open)?.status).toBe('done');
  // A circuit is built up by its small buttons, which send the form and come back with it.
  await page.goto(`${job}/circuit`);
  await page.fill('[name="run.0.place"]', 'the long bench');
  await press(page, 'button[value="add-load:2"]');
  await press(page, 'button[value="up:1"]');
  expect(await page.inputValue('[name="run.1.place"]')).toBe('the long bench');
}, 120_000);

async function signedIn(
  shop: PlayedShop,
  {
    width = 360,
    scripts = true,
    theme = 'light',
  }: { width?: number; scripts?: boolean; theme?: 'light' | 'dark' },
) {
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const context = await browser.newContext({
    viewport: { width, height: 740 },
    javaScriptEnabled: scripts,
    colorScheme: theme,
    reducedMotion: 'reduce',
  });
  onTestFinished(() => context.close());
  const page = await context.newPage();
  await page.goto(`${site}/sign-in`);
  await page.fill('[name=signIn]', 'ines');
  await page.fill('[name=passphrase]', passphrase);
  await press(page, 'button.go');
  return { page, site };
}

function pagesOf({ number, job }: PlayedShop): string[] {
  const { steps, readings, defects } = job();
  const at = `/jobs/${number}`;
  const ofStages = ['placement', 'terminations', 'dead', 'live', 'handover'].flatMap(
    (stage) => [...steps.values()].find((s) => s.step.stage === stage)?.step.id ?? [],
  );
  const kinds = ['resistance', 'voltage', 'loaded-voltage', 'observation'].flatMap(
    (kind) => [...readings.values()].find((r) => r.planned.test === kind)?.planned.id ?? [],
  );
  return [
    ...[
      '',
      '/circuit',
      '/sheet',
      '/readings',
      '/defects',
      '/logbook',
      '/second-look',
      '/record',
      '/description',
    ].map((path) => at + path),
    ...[...ofStages, job().next?.step.id ?? ''].filter((id) => id !== '').map((id) => `${at}/steps/${id}`),
    ...[...kinds, 'ground-path.press'].map((id) => `${at}/readings/${id}`),
    ...defects.map((d) => `${at}/defects/${d.defect.seq}`),
    `${at}/parts/inlet`,
    `${at}/changes/2`,
    '/',
    '/jobs/new',
    '/readings-without-a-job',
    '/verify',
  ];
}

async function looksWrong(page: Page, width: number): Promise<string[]> {
  const content = await contentWidth(page);
  // A wide screen has the same words and colours: it is asked for its layout alone.
  const violations = width > 400 ? [] : await axeFinds(page);
  return [
    ...(content > width ? [`is ${content} px wide`] : []),
    ...(await smallTargets(page, sentences)),
    ...violations.map((v) => `${v.id} ${v.nodes[0]?.html.slice(0, 120)}`),
  ];
}
