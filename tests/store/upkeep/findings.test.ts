import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { seal } from '../../../src/logbook/chain.js';
import { sha256Of } from '../../../src/logbook/sha256.js';
import { openDatabase, type Sql } from '../../../src/store/database.js';
import { addHead, shopChain } from '../../../src/store/heads.js';
import { writeHeads } from '../../../src/store/heads-file.js';
import { type Row, sealed } from '../../../src/store/sealed-entries.js';
import { findings } from '../../../src/store/upkeep/findings.js';
import { playedShop } from '../../web/played-shop.js';
import { formOn } from '../../web/read-form.js';
import { passphrase } from '../../web/shop-under-test.js';
import { behindGuards } from '../behind-guards.js';
import { addNote, jobNumbers, openedJob, tempFolder, tempStore } from '../temp-store.js';

/** What is found in a folder after it was harmed behind the triggers. */
function foundIn(dir: string, harm = ''): readonly string[] {
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

const formOf = (job: string, entry: number) =>
  expect.stringMatching(
    new RegExp(
      `^form_keys \\| test-key-\\d+ of ines \\| answers with entry ${entry} of the logbook of job ${job}, which is not there$`,
    ),
  );

describe('is found and named:', () => {
  test.each([
    [
      'an entry in the middle that was taken out',
      `${open} DELETE FROM entries WHERE job = '2026-001' AND seq = 2`,
      [
        ...triggers,
        'entries | entry 3 of the logbook of job 2026-001 | stands where 2 should',
        'heads | 5 | entry 2 of the logbook of job 2026-001 was written and is gone',
        formOf('2026-001', 2),
      ],
    ],
    [
      'the end of one logbook, cut off',
      `${open} DELETE FROM entries WHERE job = '2026-001' AND seq = 3`,
      [
        ...triggers,
        'heads | 6 | entry 3 of the logbook of job 2026-001 was written and is gone',
        formOf('2026-001', 3),
      ],
    ],
    [
      'the newest entries with their heads',
      `${open} DROP TRIGGER heads_no_delete; DELETE FROM entries WHERE job = '2026-002' AND seq = 3; DELETE FROM heads WHERE n = 8`,
      [
        'heads.json |  | the database has lost 1 of the newest entries, from entry 3 of the logbook of job 2026-002',
        ...[...triggers, 'heads_no_delete |  | is not there'].sort(),
        formOf('2026-002', 3),
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
    [
      'a head that names another place of its logbook',
      'DROP TRIGGER heads_no_update; UPDATE heads SET seq = 9 WHERE n = 5',
      [
        'heads_no_update |  | is not there',
        'entries | entry 2 of the logbook of job 2026-001 | has no head over it',
      ],
    ],
    [
      'a head of the shop’s own logbook that names another place of it',
      `DROP TRIGGER heads_no_update; UPDATE heads SET seq = 9 WHERE chain = '${shopChain}' AND seq = 2`,
      ['heads_no_update |  | is not there', 'entries | entry 2 of the shop’s logbook | has no head over it'],
    ],
    [
      'heads with a gap in their numbers',
      'DROP TRIGGER heads_no_update; UPDATE heads SET n = 18 WHERE n = 8',
      [
        'heads.json |  | the entries are not the ones that heads.json was written for',
        'heads_no_update |  | is not there',
        'heads | 18 | does not follow from the one before it',
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
        'jobs_no_delete |  | is not there',
        'job_lines | 2 | belongs to a row of jobs that is not there',
        'entries | the logbook of job 2026-002 | belongs to a row of jobs that is not there',
        'jobs | 2026-002 | was opened, as the shop’s logbook tells, and is gone',
      ],
    ],
    [
      'a job that nobody opened',
      "INSERT INTO jobs VALUES ('2026-009', '2026-11-25T08:00:00.000Z')",
      [
        'jobs | 2026-009 | was opened without a word of it in the shop’s logbook',
        'jobs | 2026-009 | has no entry at all',
      ],
    ],
    [
      'a form that is said to have written what is not there',
      "UPDATE form_keys SET last_seq = 9 WHERE job = '2026-002' AND first_seq = 3",
      [formOf('2026-002', 9)],
    ],
    [
      'a form that is said to have begun behind its end',
      "UPDATE form_keys SET first_seq = 9 WHERE job = '2026-002' AND last_seq = 3",
      [formOf('2026-002', 3)],
    ],
    [
      'a body that is no JSON any more, and one without a canonical text',
      `${open} PRAGMA ignore_check_constraints = ON; UPDATE entries SET body = '{"what' WHERE job = '2026-001' AND seq = 2;
       UPDATE entries SET body = '{"what":"\\ud800","suspects":[]}' WHERE job = '2026-002' AND seq = 3;
       PRAGMA ignore_check_constraints = OFF`,
      [
        ...triggers,
        'the file |  | CHECK constraint failed in entries',
        'entries | entry 2 of the logbook of job 2026-001 | is not what was written',
        'entries | entry 3 of the logbook of job 2026-002 | is not what was written',
      ],
    ],
    [
      'a table in whose place something else stands, of which nothing is asked',
      `${open} DROP TABLE job_words; DROP TABLE form_keys; CREATE VIEW form_keys AS
         WITH RECURSIVE endless(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM endless) SELECT n FROM endless`,
      [
        ...triggers,
        'form_keys |  | is laid out otherwise',
        ...['', '_config', '_data', '_docsize', '_idx'].map((part) => `job_words${part} |  | is not there`),
        'the file |  | is laid out otherwise; its rows were not looked at',
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
    'a record of which one byte is another',
    `DROP TRIGGER records_no_update; UPDATE records SET pdf = CAST(substr(pdf, 1, 1000) || x'00' || substr(pdf, 1002) AS BLOB)`,
    /^records \| [0-9a-f]{64} \| is not what was kept$/m,
  ],
  [
    'what is no record, under its own digest',
    `DROP TRIGGER records_no_update; UPDATE records SET pdf = CAST('no record' AS BLOB), sha256 = '${sha256Of('no record')}'`,
    /^records \| [0-9a-f]{64} \| is not a record as it was issued: /m,
  ],
  [
    'a record that is gone',
    'DROP TRIGGER records_no_delete; DELETE FROM records',
    /^records \| [0-9a-f]{64} \| is named by entry \d+ of the logbook of job 2026-001 and is gone$/m,
  ],
  [
    'a record that stands as another revision',
    'DROP TRIGGER records_no_update; UPDATE records SET revision = 2',
    /^records \| [0-9a-f]{64} \| stands as revision 2 of job 2026-001, and is revision 1 of job 2026-001$/m,
  ],
  [
    'a record that stands as another job’s',
    `DROP TRIGGER records_no_update; INSERT INTO jobs VALUES ('2026-009', '2026-11-25T08:00:00.000Z');
     UPDATE records SET job = '2026-009'`,
    /^records \| [0-9a-f]{64} \| stands as revision 1 of job 2026-009, and is revision 1 of job 2026-001$/m,
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
  const forged = tempFolder();
  cpSync(shop.store.dir, forged, { recursive: true });
  exchangeHistory(forged);
  expect(foundIn(forged)).toEqual([
    expect.stringMatching(
      /^entries \| the logbook of job 2026-001 \| has another entry \d+ than the one that revision 1 was issued with: it was exchanged$/,
    ),
  ]);
});

/** Writes another history that agrees with itself in everything: each entry sealed anew, the heads and heads.json over them. */
function exchangeHistory(dir: string): void {
  const db = openDatabase(`${dir}/logbook.db`);
  behindGuards(db, () => sealAnew(db));
  writeHeads(db, `${dir}/heads.json`);
  db.close();
}

function sealAnew(db: Sql): void {
  const told = db.prepare('SELECT * FROM heads ORDER BY n').all() as { chain: string; seq: number }[];
  db.exec('DELETE FROM heads');
  const ends = new Map<string, ReturnType<typeof seal>>();
  for (const { chain, seq } of told) {
    const [table, where, ...at] =
      chain === shopChain ? ['shop_entries', 'seq = ?', seq] : ['entries', 'job = ? AND seq = ?', chain, seq];
    const row = sealed(db.prepare(`SELECT * FROM ${table} WHERE ${where}`).get(...at) as Row);
    const { digest: _digest, previous: _previous, ...entry } = row;
    const before = ends.get(chain);
    const body =
      row.kind === 'record issued'
        ? { ...(row.body as object), head: before?.digest }
        : row.kind === 'job described'
          ? { ...(row.body as object), owner: 'Somebody Else' }
          : row.body;
    const anew = seal({ ...entry, body }, before);
    db.prepare(`UPDATE ${table} SET body = ?, previous = ?, digest = ? WHERE ${where}`).run(
      JSON.stringify(body),
      anew.previous,
      anew.digest,
      ...at,
    );
    ends.set(chain, anew);
    addHead(db, chain, seq, anew.digest);
  }
}

test('a page that cannot be read is named, and what lies behind it is looked at all the same', () => {
  const dir = withHarmedPage('entries');
  const found = foundIn(
    dir,
    `DROP TRIGGER heads_no_update; UPDATE heads SET head = '${'f'.repeat(64)}' WHERE n = 4`,
  );
  expect(found).toContainEqual(expect.stringMatching(/^the file \| {2}\|/));
  expect(found).toContainEqual(expect.stringMatching(/^entries \| {2}\| cannot be read to its end/));
  expect(found).toContainEqual(expect.stringMatching(/^heads \| 4 \|/));
});

test('a store whose newest entries lie on a page that cannot be read opens for reading, and says so', () => {
  const store = tempStore(withHarmedPage('entries'));
  expect(store.broken).toMatch(/^the database file is damaged/);
  expect(jobNumbers(store)).toHaveLength(2);
});

/** A folder in which one page of a table was written over. */
function withHarmedPage(table: string): string {
  const store = tempStore();
  for (const job of [openedJob(store), openedJob(store)])
    for (let k = 0; k < 40; k += 1) addNote(store, job, `note ${k} ${'y'.repeat(200)}`);
  store.close();
  const file = `${store.dir}/logbook.db`;
  const db = openDatabase(file);
  const page = db
    .prepare("SELECT max(pageno) FROM dbstat WHERE name = ? AND pagetype = 'leaf'")
    .pluck()
    .get(table) as number;
  const size = db.pragma('page_size', { simple: true }) as number;
  db.close();
  const bytes = readFileSync(file);
  bytes.fill(0xa5, (page - 1) * size, page * size);
  writeFileSync(file, bytes);
  return store.dir;
}
