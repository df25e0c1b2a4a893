import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { writeDown } from '../journeys/careful-fitter.js';
import { openChromium } from '../journeys/chromium.js';
import { type Person, sitDown, ways } from '../journeys/person.js';
import { shopWithJobs } from '../journeys/shop-at-every-stage.js';
import { mendSheet, typeCircuit } from '../journeys/typed-circuit.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

/** A job from its first word to the first step that is written down. */
async function beginJob(fitter: Person): Promise<void> {
  const { page, hands } = fitter;
  await fitter.describeJob();
  await typeCircuit(page, hands);
  await mendSheet(page, hands);
  expect(await page.textContent('main')).toContain('nothing on the sheet holds the cutting');
  await fitter.press('.notice a.go');
  await writeDown(page, hands);
  expect(await page.textContent('.said')).toContain('written down');
}

/** The defect that stopped a job: what was found and done, then all that the mend opened again. */
async function mendDefect(fitter: Person, closed: () => boolean): Promise<void> {
  await fitter.press('.next a.go');
  await fitter.mend(2);
  await fitter.workUntil(async () => closed());
}

test.each(ways)(
  '%s a job is made, a defect is mended, and a record is issued and handed over',
  async (_, hands, options) => {
    const { shop, jobs } = await shopWithJobs([
      ({ kind }) => kind === 'defect raised',
      ({ subject }) => subject === 'reading:dead-when-tripped.press',
    ]);
    const [stopped, nearlyDone] = jobs as [(typeof jobs)[number], (typeof jobs)[number]];
    const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
    const fitter = await sitDown(browser, hands, options);
    await fitter.signIn(site, 'ines');
    await beginJob(fitter);

    await fitter.openJob(stopped.number);
    await mendDefect(fitter, () => stopped.job().defects[0]?.status === 'closed');

    await fitter.openJob(nearlyDone.number);
    await fitter.workUntil(() => fitter.there('.next h2:text("The second look")'));
    const checker = await sitDown(browser, hands, options);
    await checker.signIn(site, 'tam');
    await checker.signNext(nearlyDone.number, 'Tam Whitlock', 'main button.go');

    await fitter.signNext(nearlyDone.number, 'Ines Okafor', '#issue button.go');
    expect(shop.store.logbook.log(nearlyDone.number).issued).toHaveLength(1);
    expect(await fitter.page.textContent('main')).toMatch(/Revision\s1 stands/);

    const link = await fitter.makeLink();
    const owner = await sitDown(browser, hands, options);
    await owner.acknowledge(link, 'Odile Brandt');
    expect(shop.store.logbook.log(nearlyDone.number).acknowledged).toHaveLength(1);
  },
);

test('the first stop of the keyboard is the link that leads past the navigation', async () => {
  const { shop } = await shopWithJobs([]);
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
