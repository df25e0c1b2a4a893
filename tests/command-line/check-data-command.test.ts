import { readdirSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { openDatabase } from '../../src/store/database.js';
import { folderDoubt } from '../../src/store/mount-doubt.js';
import { openStore } from '../../src/store/open-store.js';
import { addNote, openedJob, standingClock, tempFolder, tempStore } from '../store/temp-store.js';
import { furnishShop } from '../web/played-shop.js';
import { shopUnderTest } from '../web/shop-under-test.js';
import { runHere } from './run-here.js';

const check = (dir: string) => runHere('check-data', '--data', dir);

test('says in one line that everything agrees, beside a store that is open, and changes nothing', async () => {
  const { store } = await shopUnderTest();
  addNote(store, openedJob(store), 'one');
  const before = readdirSync(store.dir);
  expect(await check(store.dir)).toEqual({
    status: 0,
    out: expect.stringMatching(
      /: everything agrees \(\d+ entries of 1 jobs and the shop, 0 photos, 0 records\)\.$/,
    ),
    // Said of the disk that the tests themselves lie on, where it is one to be doubted.
    err: folderDoubt(store.dir) ?? '',
  });
  expect(readdirSync(store.dir)).toEqual(before);
});

test('names each thing on a line of its own, and ends with 1', async () => {
  const store = tempStore();
  for (const job of [openedJob(store), openedJob(store)]) addNote(store, job, 'one');
  store.close();
  const db = openDatabase(`${store.dir}/logbook.db`);
  db.exec(
    "DROP TRIGGER entries_no_update; UPDATE entries SET at = replace(at, '2026', '2025') WHERE seq = 2",
  );
  db.close();
  const { status, out } = await check(store.dir);
  expect([status, out.split('\n')]).toEqual([
    1,
    [
      'entries_no_update: is not there',
      'entries, entry 2 of the logbook of job 2026-001: is not what was written',
      'entries, entry 2 of the logbook of job 2026-002: is not what was written',
      `${store.dir}: 3 things do not agree.`,
    ],
  ]);
});

test('looks at the heads beside the database as well', async () => {
  const store = tempStore();
  openedJob(store);
  store.close();
  rmSync(`${store.dir}/heads.json`);
  const { status, out } = await check(store.dir);
  expect([status, out.split('\n')]).toEqual([
    1,
    [expect.stringMatching(/^heads\.json: .*is gone/), `${store.dir}: one thing does not agree.`],
  ]);
});

test('names a job of which the list says otherwise than its logbook, and says which of it', async () => {
  const store = tempStore();
  for (const job of [openedJob(store), openedJob(store), openedJob(store), openedJob(store)])
    addNote(store, job, 'one');
  store.close();
  const db = openDatabase(`${store.dir}/logbook.db`);
  db.exec(
    `UPDATE job_lines SET held = 1 - held, line = replace(line, 'Marginalia', 'Another') WHERE job = '2026-002';
     DELETE FROM job_lines WHERE job = '2026-003';
     UPDATE job_lines SET logic = 'of an earlier release', standing = 'whatever' WHERE job = '2026-004'`,
  );
  db.close();
  const { status, out } = await check(store.dir);
  expect([status, out.split('\n')]).toEqual([
    1,
    [
      'job_lines, 2026-002: says otherwise than the job’s logbook: held, line',
      'job_lines, 2026-003: is not there: the list does not show this job',
      `${store.dir}: 2 things do not agree.`,
    ],
  ]);
});

test('says that a table is gone, and asks nothing of it', async () => {
  const store = tempStore();
  openedJob(store);
  store.close();
  const db = openDatabase(`${store.dir}/logbook.db`);
  db.exec('DROP TABLE heads');
  db.close();
  const { status, out } = await check(store.dir);
  expect([status, out.split('\n')]).toEqual([1, expect.arrayContaining(['heads: is not there'])]);
  expect(out).toContain('the file: is laid out otherwise; its rows were not looked at');
});

test('says where the secret of the key that signs is gone or another one, and makes none', async () => {
  const shop = await shopUnderTest({ named: false });
  furnishShop(shop);
  const { store } = shop;
  store.close();
  rmSync(`${store.dir}/shop.secret`);
  const gone = await check(store.dir);
  expect([gone.status, gone.out]).toEqual([
    1,
    expect.stringContaining('shop.secret: is not there; it opens the key that signs'),
  ]);
  openStore({ dir: store.dir, clock: standingClock(), readOnly: true }).close();
  expect(readdirSync(store.dir)).not.toContain('shop.secret');
  tempStore(store.dir).close();
  const other = await check(store.dir);
  expect([other.status, other.out]).toEqual([1, expect.stringMatching(/^shop\.secret: .*key/)]);
});

test.each([
  ['no folder at all', () => undefined, 2, /There is no logbook in/],
  [
    'a file that is no database',
    (dir: string) =>
      writeFileSync(`${dir}/logbook.db`, 'no database, but long enough to be read as one '.repeat(99)),
    1,
    /is not a database that can be read/,
  ],
  [
    'a file that was emptied',
    (dir: string) => {
      tempStore(dir).close();
      truncateSync(`${dir}/logbook.db`);
    },
    1,
    /logbook\.db holds no logbook: it was emptied/,
  ],
  [
    'a folder of a newer version',
    (dir: string) => {
      const store = tempStore(dir);
      store.db.pragma('user_version = 99');
      store.close();
    },
    1,
    /newer version/,
  ],
] as const)('%s is told in a sentence', async (_name, make, status, words) => {
  const dir = tempFolder();
  make(dir);
  expect(await check(dir)).toEqual({ status, out: '', err: expect.stringMatching(words) });
});
