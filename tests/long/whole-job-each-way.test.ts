import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { lampOptions } from '../../src/web/reading/readings-without-job-answers.js';
import { openChromium } from '../journeys/chromium.js';
import { type Person, sitDown, ways } from '../journeys/person.js';
import { shopWithJobs } from '../journeys/shop-at-every-stage.js';
import { oneFarOutlet, typeCircuit } from '../journeys/typed-circuit.js';

/** One small job, from its making to the owner's word, by one way of acting alone. */

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

/** A drop that misses the advice stands by another person's concession. */
async function concede(checker: Person, number: string): Promise<void> {
  await checker.openJob(number);
  await checker.press('main a[href$="/sheet"]');
  await checker.hands.unfold(checker.page, checker.at('summary:text("Let it stand by a concession")'));
  await checker.type('[name^="reason."]', 'The kettle runs alone, and the owner knows.');
  await checker.press('button:text("Grant the concession")');
  expect(await checker.page.textContent('.said')).toContain('printed on page one');
}

/** Works to the second look; one ground reads open on the way, and the lamps of the tester are looked at too. */
async function workThrough(fitter: Person): Promise<{ failed: number; lamps: number }> {
  const seen = { failed: 0, lamps: 0 };
  const lamps = '#readings .reading:has-text("Three-lamp"):has(.word-missing) a';
  const atSecondLook = () => fitter.there('.next h2:text("The second look")');
  await fitter.workUntil(atSecondLook, async () => {
    if (seen.failed === 0 && (await fitter.title())?.startsWith('G1 ') && (await fitter.there('#entry'))) {
      seen.failed += 1;
      await fitter.tick('#entry [name=over]');
      await fitter.press('#entry button.go');
      await fitter.press('a:text("Open the defect: every picture, and the mend")');
      await fitter.mend(1);
      return true;
    }
    if (seen.lamps === 0 && (await fitter.there(lamps))) {
      seen.lamps += 1;
      await fitter.press(lamps);
      return true;
    }
    return false;
  });
  return seen;
}

test.each(ways)('%s a small job comes from its making to the owner’s word', async (_, hands, options) => {
  const { shop } = await shopWithJobs([]);
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const fitter = await sitDown(browser, hands, options);
  await fitter.signIn(site, 'ines');
  await fitter.describeJob();
  const number = new URL(fitter.page.url()).pathname.split('/')[2] as string;
  const log = () => shop.store.logbook.log(number);
  await typeCircuit(fitter.page, hands, oneFarOutlet);
  expect(await fitter.page.textContent('.notice.stop')).toContain('One line holds the cutting');

  const checker = await sitDown(browser, hands, options);
  await checker.signIn(site, 'tam');
  await concede(checker, number);

  await fitter.openJob(number);
  expect(await workThrough(fitter)).toEqual({ failed: 1, lamps: 1 });
  expect(log().defects).toHaveLength(1);
  expect(log().entries.filter(({ kind }) => kind === 'concession granted')).toHaveLength(1);

  await checker.signNext(number, 'Tam Whitlock', 'main button.go');
  await fitter.signNext(number, 'Ines Okafor', '#issue button.go');
  expect(log().issued).toHaveLength(1);

  const link = await fitter.makeLink();
  const owner = await sitDown(browser, hands, options);
  await owner.acknowledge(link, 'Odile Brandt');
  expect(log().acknowledged).toHaveLength(1);
});

test.each(ways)(
  '%s every pattern of a three-lamp tester is entered and answered',
  async (_, hands, options) => {
    const { shop } = await shopWithJobs([]);
    const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
    const fitter = await sitDown(browser, hands, options);
    await fitter.signIn(site, 'ines');
    await fitter.press('main a[href="/readings-without-a-job"]');
    for (const { value } of lampOptions) {
      await hands.choose(fitter.page, fitter.at('[name="lamps.0"]'), value);
      await fitter.press('.card button.go[value=answer]');
      expect(await fitter.there('#answer')).toBe(true);
      expect(await fitter.page.inputValue('[name="lamps.0"]')).toBe(value);
    }
  },
);
