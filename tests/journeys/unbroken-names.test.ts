import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, onTestFinished, test } from 'vitest';
import { circuitSchema } from '../../src/circuit/circuit.js';
import { demoCircuit, type PlayedShop, playedShop } from '../web/played-shop.js';
import { addPerson } from '../web/shop-under-test.js';
import { openChromium } from './chromium.js';
import { visit } from './every-page.js';
import { geometryFaults } from './page-geometry.js';

let browser: Browser;
beforeAll(async () => {
  browser = await openChromium();
});
afterAll(() => browser.close());

const word = 'Donaudampfschifffahrtselektrizitaetenhauptbetriebswerk';
const long = (letters: number) => word.repeat(4).slice(0, letters);

/** A job at its defect whose van, owner, places and loads are each called by one word that no line holds. */
function shopOfLongWords(): Promise<PlayedShop> {
  const run = demoCircuit.run.map((outlet) => ({
    ...outlet,
    place: long(80),
    loads: outlet.loads.map((load, k) => ({ ...load, name: `${k}${long(59)}` })),
  }));
  const circuit = circuitSchema.parse({ ...demoCircuit, run, together: [] });
  const described = {
    vehicle: { description: long(200), plate: '', vin: '', invented: true },
    ...{ owner: long(80), place: long(120), fitter: 'Ines Okafor', checker: 'Tam Whitlock' },
  };
  return playedShop((job) => job.defects.length > 0, { circuit, described });
}

test('a name of one word that no line holds is broken, and makes no page wider than its window nor tears another word', async () => {
  const shop = await shopOfLongWords();
  addPerson(shop, long(40), long(80), ['fitter']);
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const { cookie } = shop.fitter;
  const job = `/jobs/${shop.number}`;
  const faults: string[] = [];
  for (const width of [320, 768, 1280]) {
    const context = await browser.newContext({ viewport: { width, height: 800 }, reducedMotion: 'reduce' });
    onTestFinished(() => context.close());
    const page = await context.newPage();
    for (const path of [
      '/',
      job,
      `${job}/sheet`,
      `${job}/second-look`,
      `${job}/defects`,
      '/people',
      '/shop',
    ]) {
      await visit(page, { name: path, site, path, cookie });
      faults.push(...(await geometryFaults(page)).map((fault) => `${path} at ${width}: ${fault}`));
    }
    await visit(page, { name: 'people', site, path: '/people', cookie });
    // “active” stands on one line, however narrow the long name makes its column.
    const rows = await page.$eval('td[data-label="Standing"] .word', (cell) => cell.getClientRects().length);
    expect([width, rows]).toEqual([width, 1]);
  }
  expect(faults).toEqual([]);
});
