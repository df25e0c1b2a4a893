import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { press } from './careful-fitter.js';
import { openChromium } from './chromium.js';
import { everyPage, visit } from './every-page.js';
import { geometryFaults } from './page-geometry.js';
import { heardFaults } from './page-heard.js';
import { setApart } from './set-apart.js';
import { shopWithJobs } from './shop-at-every-stage.js';
import { signIn } from './sign-in.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

async function openPage(width = 1280): Promise<Page> {
  const context = await browser.newContext({
    viewport: { width, height: 800 },
    reducedMotion: 'reduce',
    bypassCSP: true,
  });
  onTestFinished(() => context.close());
  return context.newPage();
}

/** A fitter who is signed in, with a job at its first defect and one that is only begun. */
async function atADefect(width?: number) {
  const { shop, jobs } = await shopWithJobs([
    ({ kind }) => kind === 'defect raised',
    ({ kind }) => kind === 'circuit set',
  ]);
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const page = await openPage(width);
  await signIn(page, site, 'ines');
  const [job, begun] = jobs.map(({ number }) => `${site}/jobs/${number}`);
  return { page, site, job, begun, defect: jobs[0]?.job().defects[0]?.defect.seq };
}

/** By what the focus stands on: its id, or its classes. */
const focused = (page: Page) => page.locator(':focus').evaluate((e) => e.id || e.className);

test('a screen reader is told each thing once, by a name of its own in its group, and each error at its field', async () => {
  const page = await openPage();
  const names = new Set([
    ...['readings without a job', 'people', 'instruments', 'account', 'sketch', 'circuit grown', 'jobs'],
    ...['new job to mend', 'circuit first to mend', 'held, sheet', 'defect, job', 'handed over, record'],
    ...['defect, reading ground-path.press', 'step to mend', 'reading to mend', 'mend to mend'],
    ...['record to mend', 'owner to mend', 'check no record'],
  ]);
  const visits = (await everyPage()).filter(({ name }) => names.has(name));
  expect(visits).toHaveLength(names.size);
  const faults: string[] = [];
  for (const each of visits) {
    await visit(page, each);
    faults.push(...(await heardFaults(page)).map((fault) => `${each.name}: ${fault}`));
    // On a phone a table's rows stand as blocks, each cell under its column's word.
    if (!['people', 'instruments'].includes(each.name)) continue;
    await page.setViewportSize({ width: 320, height: 568 });
    faults.push(...(await heardFaults(page)).map((fault) => `${each.name} on a phone: ${fault}`));
    await page.setViewportSize({ width: 1280, height: 800 });
  }
  expect(faults).toEqual([]);
});

test('the focus lands on what is to be heard first: what was taken, what failed, what must be mended, the answer', async () => {
  const { page, site, job, begun, defect } = await atADefect();
  await page.goto(`${job}/readings/ground-path.locker`);
  await page.fill('#entry [name=ohms]', '0.05');
  await press(page, '#entry button.go');
  expect(await focused(page)).toContain('said');
  expect(await page.locator(':focus').textContent()).toMatch(/0\.05\sΩ, pass/);

  await page.goto(`${job}/readings/ground-path.bench`);
  await page.fill('#entry [name=ohms]', '50');
  await press(page, '#entry button.go');
  expect(await focused(page)).toBe('verdict');
  // What the readings point to is a part of the defect there, and of the page itself on the defect's own.
  expect(await page.locator('.suspect h4').count()).toBeGreaterThan(0);
  await page.goto(`${job}/defects/${defect}`);
  expect(await page.locator('.suspect h3').count()).toBeGreaterThan(0);

  await page.goto(`${begun}/steps/cable-read`);
  const photo = (await page.textContent('#photos h3')) ?? '';
  await press(page, '#write button.go');
  expect(await focused(page)).toBe('errors');
  expect(await heardFaults(page)).toEqual([]);
  await page.click('.errors a:has-text("needs a photo")');
  expect(await page.locator(':focus').textContent()).toBe(photo);

  await page.goto(`${site}/readings-without-a-job`);
  await page.fill('[name="row.0.value"]', 'OL');
  await press(page, 'button.go[value=answer]');
  expect(await focused(page)).toBe('answer');
});

test('where a reader sets letters, words and lines apart, a drawing keeps its words in their places', async () => {
  const { page, job, defect } = await atADefect(320);
  const faults: string[] = [];
  for (const path of ['', `/defects/${defect}`, '/sheet', '/steps/land-inlet']) {
    await page.goto(`${job}${path}`);
    await setApart(page);
    faults.push(...(await geometryFaults(page)).map((fault) => `${path}: ${fault}`));
  }
  expect(faults).toEqual([]);
});

test.each(['light', 'dark'] as const)(
  'whoever asks for more contrast has every quiet word and rule in ink (%s)',
  async (colorScheme) => {
    const { page, begun } = await atADefect();
    await page.emulateMedia({ colorScheme, contrast: 'more' });
    await page.goto(`${begun}/steps/cable-read`);
    const tones = (selector: string, of: string) =>
      page.evaluate<string>(`getComputedStyle(document.querySelector('${selector}'))['${of}']`);
    const ink = await tones('body', 'color');
    expect(await tones('.hint', 'color')).toBe(ink);
    expect(await tones('.foot', 'borderTopColor')).toBe(ink);
    expect(await tones('#write input[type=text]', 'borderTopColor')).toBe(ink);
  },
);
