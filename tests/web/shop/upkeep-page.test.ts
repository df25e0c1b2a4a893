import { readdirSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { buildApp } from '../../../src/app.js';
import { openDatabase } from '../../../src/store/database.js';
import { shopMark } from '../../../src/store/upkeep/backup-folder.js';
import { keepUp } from '../../../src/store/upkeep/upkeep.js';
import { addNote, openedJob, tempFolder } from '../../store/temp-store.js';
import { Browser, shopUnderTest } from '../shop-under-test.js';

test('a keeper sees when the shop was backed up and looked through, and does both by a button', async () => {
  const { store, clock } = await shopUnderTest();
  const dir = tempFolder();
  const app = await buildApp({
    config: { logLevel: 'silent' },
    store,
    clock,
    upkeep: (log) => keepUp({ store, clock, log, plan: { dir, everyHours: 24, keep: 3 } }),
  });
  onTestFinished(() => app.close());
  const browser = new Browser(app);
  await browser.signIn('ines');
  // What is due at the start is done first.
  await new Promise((resolve) => setImmediate(resolve));
  await app.services.upkeep?.check();
  clock.move(60_000);
  expect((await browser.post('/shop/backup', {}, { page: '/shop' })).statusCode).toBe(303);
  const page = (await browser.get('/shop')).body;
  expect(page).toContain('A backup was made.');
  expect(page).toContain('25 Nov 2026, 08:01 UTC');
  expect(readdirSync(dir)).toContain(`inlet-20261125T080100Z-${shopMark(store.db)}.backup`);

  const job = openedJob(store);
  for (let k = 0; k < 40; k += 1) addNote(store, job, `note ${k}`);
  const beside = openDatabase(`${store.dir}/logbook.db`);
  beside.exec("DROP TRIGGER heads_no_update; UPDATE heads SET head = 'f' || substr(head, 2) WHERE n = 3");
  beside.close();
  await browser.post('/shop/check', {}, { page: '/shop' });
  const after = (await browser.get('/shop')).body;
  expect(after).toContain('The store does not agree with itself.');
  expect(after).toContain('heads_no_update: is not there');
  expect(after).toContain('The logbook is closed for writing');
});
