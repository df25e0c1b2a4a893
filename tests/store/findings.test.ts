import { cpSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { openDatabase } from '../../src/store/database.js';
import { findings } from '../../src/store/findings.js';
import { playedShop } from '../web/played-shop.js';
import { formOn } from '../web/read-form.js';
import { passphrase } from '../web/shop-under-test.js';
import { addNote, openedJob, tempFolder, tempStore } from './temp-store.js';

/** What is found in a folder after it was harmed behind the triggers. */
function foundIn(dir: string, harm = ''): string[] {
  const db = openDatabase(`${dir}/logbook.db`);
  db.pragma('foreign_keys = OFF');
  db.exec(harm);
  const found = [...findings(db, `${dir}/heads.json`)].map(
    ({ table, row, what }) => `${table} | ${row} | ${what}`,
  );
  db.close();
  return found;
}

/** Two jobs of three entries each. */
function twoJobs(): string {
  const store = tempStore();
  for (const job of [openedJob(store), openedJob(store)])
    for (const text of ['one', 'two']) addNote(store, job, text);
  store.close();
  return store.dir;
}

const open = 'DROP TRIGGER entries_no_update; DROP TRIGGER entries_no_delete; DROP TRIGGER entries_in_order;';
const triggers = ['entries_in_order', 'entries_no_delete', 'entries_no_update'].map(
  (t) => `${t} |  | is not there`,
);

test('nothing is found in a sound folder, at rest or while others write in it', () => {
  expect(foundIn(twoJobs())).toEqual([]);
  const store = tempStore();
  addNote(store, openedJob(store), 'one');
  const db = openDatabase(`${store.dir}/logbook.db`, { readOnly: true });
  const found = [];
  const looking = findings(db, `${store.dir}/heads.json`);
  for (let next = looking.next(); !next.done; next = looking.next()) found.push(next.value);
  addNote(store, openedJob(store), 'two');
  expect([found, [...findings(db, `${store.dir}/heads.json`)]]).toEqual([[], []]);
  db.close();
});

test('every row that was harmed is named, not the first alone', () => {
  const found = foundIn(
    twoJobs(),
    `${open} UPDATE entries SET body = replace(body, 'one', 'none') WHERE seq = 2;
     UPDATE entries SET by_name = 'Somebody' WHERE job = '2026-002' AND seq = 3`,
  );
  expect(found).toEqual([
    ...triggers,
    'entries | entry 2 of the logbook of job 2026-001 | is not what was written',
    'entries | entry 2 of the logbook of job 2026-002 | is not what was written',
    'entries | entry 3 of the logbook of job 2026-002 | is not what was written',
  ]);
});

describe('is found and named:', () => {
  test.each([
    [
      'an entry in the middle that was taken out',
      `${open} DELETE FROM entries WHERE job = '2026-001' AND seq = 2`,
      [
        ...triggers,
        'entries | entry 3 of the logbook of job 2026-001 | stands where entry 2 should',
        'heads | 5 | entry 2 of the logbook of job 2026-001 was written and is gone',
      ],
    ],
    [
      'the end of one logbook, cut off',
      `${open} DELETE FROM entries WHERE job = '2026-001' AND seq = 3`,
      [...triggers, 'heads | 6 | entry 3 of the logbook of job 2026-001 was written and is gone'],
    ],
    [
      'the newest entries with their heads',
      `${open} DROP TRIGGER heads_no_delete; DELETE FROM entries WHERE job = '2026-002' AND seq = 3; DELETE FROM heads WHERE n = 8`,
      [
        'heads.json |  | the database has lost 1 of the newest entries, from entry 3 of the logbook of job 2026-002',
        ...[...triggers, 'heads_no_delete |  | is not there'].sort(),
      ],
    ],
    [
      'a head that was written anew',
      `DROP TRIGGER heads_no_update; UPDATE heads SET head = '${'a'.repeat(64)}' WHERE n = 3`,
      [
        'heads_no_update |  | is not there',
        'heads | 3 | does not follow from the one before it',
        'heads | 4 | does not follow from the one before it',
      ],
    ],
    ['a table more', 'CREATE TABLE more (a TEXT) STRICT', ['more |  | does not belong here']],
    [
      'a trigger that does nothing any more',
      'DROP TRIGGER photos_no_delete; CREATE TRIGGER photos_no_delete BEFORE DELETE ON photos BEGIN SELECT 1; END',
      ['photos_no_delete |  | is laid out otherwise'],
    ],
    [
      'a migration of another program',
      "UPDATE migrations SET digest = 'other' WHERE number = 1",
      ['migrations | 001-logbook.sql | is not the one of this program'],
    ],
    [
      'a row without the row that it belongs to',
      "DROP TRIGGER jobs_no_delete; DELETE FROM jobs WHERE number = '2026-002'",
      [
        'job_lines | 2 | belongs to a row of jobs that is not there',
        'entries | the logbook of job 2026-002 | belongs to a row of jobs that is not there',
        'jobs_no_delete |  | is not there',
      ],
    ],
  ])('%s', (_name, harm, named) => {
    expect(foundIn(twoJobs(), harm)).toEqual(named);
  });
});

const harms = [
  [
    'a photo of which one byte is another',
    `DROP TRIGGER photos_no_update; UPDATE photos SET jpeg = CAST(substr(jpeg, 1, 100) || x'00' || substr(jpeg, 102) AS BLOB)
       WHERE id = (SELECT min(id) FROM photos)`,
    /^photos \| [0-9a-f]{64} \| is not what was kept$/m,
  ],
  [
    'a photo that is gone',
    'DROP TRIGGER photos_no_delete; DELETE FROM photos WHERE id = (SELECT min(id) FROM photos)',
    /^photos \| [0-9a-f]{64} \| is named by entry \d+ of the logbook of job 2026-001 and is gone$/m,
  ],
  [
    'a record that is gone',
    'DROP TRIGGER records_no_delete; DELETE FROM records',
    /^records \| [0-9a-f]{64} \| is named by entry \d+ of the logbook of job 2026-001 and is gone$/m,
  ],
  [
    'an issue that the logbook no longer tells',
    `${open} DELETE FROM entries WHERE kind = 'record issued'`,
    /^entries \| the logbook of job 2026-001 \| says nothing of the issue of revision 1: it was shortened$/m,
  ],
  [
    'a record that speaks of another end of the logbook',
    `${open} UPDATE entries SET body = json_set(body, '$.head', '${'b'.repeat(64)}') WHERE kind = 'record issued'`,
    /names an end of the logbook for revision 1 that the logbook does not have$/m,
  ],
  [
    'a signing key',
    "DELETE FROM secrets WHERE name GLOB 'key:*'",
    /^secrets \| key:[0-9a-f]{64} \| the key that signs is gone$/m,
  ],
] as const;

test('in the folder of a finished job every harm to photos, records, their entries and the key is named', async () => {
  const shop = await playedShop();
  const page = `/jobs/${shop.number}/record`;
  const form = {
    ...formOn((await shop.fitter.get(page)).body, page),
    'signature.name': 'Ines Okafor',
    passphrase,
  };
  expect((await shop.fitter.postRaw(page, form)).statusCode).toBe(303);
  shop.store.close();
  expect(foundIn(shop.store.dir)).toEqual([]);
  for (const [what, harm, named] of harms) {
    const dir = tempFolder();
    cpSync(shop.store.dir, dir, { recursive: true });
    expect([what, foundIn(dir, harm).join('\n')]).toEqual([what, expect.stringMatching(named)]);
  }
});
