import { expect, test } from 'vitest';
import { addNote, openedJob, tempStore } from './temp-store.js';

const zeros = '0'.repeat(64);
const ones = '1'.repeat(64);

/** Each attack as SQL on a job with two entries, with the words that refuse it. */
const attacks: readonly (readonly [name: string, sql: string, refusal: RegExp])[] = [
  ['an entry is changed', "UPDATE entries SET body = '{}'", /only added to/],
  ['an entry is deleted', 'DELETE FROM entries WHERE seq = 2', /only added to/],
  ['all entries are deleted', 'DELETE FROM entries', /only added to/],
  [
    'an entry is replaced',
    `INSERT OR REPLACE INTO entries SELECT job, seq, at, by_id, 'Mallory', kind, subject, body, form_key, previous, digest, NULL FROM entries WHERE seq = 2`,
    /follows the last one|only added to/,
  ],
  [
    'the newest entry is replaced in its place',
    `REPLACE INTO entries SELECT job, seq, at, by_id, by_name, kind, subject, '{}', form_key, previous, '${ones}', NULL FROM entries WHERE seq = 2`,
    /follows the last one|only added to/,
  ],
  [
    'an entry is put before the others',
    `INSERT INTO entries SELECT job, 0, at, by_id, by_name, kind, subject, body, 'other-key', '${zeros}', '${ones}', NULL FROM entries WHERE seq = 1`,
    /follows the last one/,
  ],
  [
    'a number is left out',
    `INSERT INTO entries SELECT job, 9, at, by_id, by_name, kind, subject, body, 'other-key', digest, '${ones}', NULL FROM entries WHERE seq = 2`,
    /follows the last one/,
  ],
  [
    'an entry is tied to another digest',
    `INSERT INTO entries SELECT job, 3, at, by_id, by_name, kind, subject, body, 'other-key', '${zeros}', '${ones}', NULL FROM entries WHERE seq = 2`,
    /tied to the digest/,
  ],
  [
    'an entry is upserted',
    `INSERT INTO entries SELECT job, seq, at, by_id, by_name, kind, subject, body, form_key, previous, digest, NULL FROM entries WHERE seq = 2 ON CONFLICT DO UPDATE SET body = '{}'`,
    /follows the last one|only added to/,
  ],
  ['a job is renumbered', "UPDATE jobs SET number = '2020-001'", /only added to/],
  ['a job is deleted', 'DELETE FROM jobs', /only added to|FOREIGN KEY/],
  ['an entry of the shop is changed', "UPDATE shop_entries SET by_name = 'Mallory'", /only added to/],
  ['an entry of the shop is deleted', 'DELETE FROM shop_entries', /only added to/],
  [
    'an entry of the shop is replaced',
    `REPLACE INTO shop_entries SELECT seq, at, by_id, 'Mallory', kind, subject, body, previous, digest FROM shop_entries`,
    /follows the last one|only added to/,
  ],
  ['a head is changed', `UPDATE heads SET head = '${ones}'`, /only added to/],
  ['a head is deleted', 'DELETE FROM heads WHERE n = 3', /only added to/],
  ['a photo is changed', "UPDATE photos SET jpeg = x'00'", /only added to/],
  ['a photo is deleted', 'DELETE FROM photos', /only added to/],
  [
    'a photo is replaced',
    `REPLACE INTO photos SELECT id, original, width_px, height_px, x'00', thumb, at FROM photos`,
    /only added to/,
  ],
  ['a record is changed', "UPDATE records SET pdf = x'00'", /only added to/],
  ['a record is deleted', 'DELETE FROM records', /only added to/],
  [
    'a record is replaced',
    `REPLACE INTO records SELECT sha256, job, revision, x'00', at FROM records`,
    /only added to/,
  ],
  [
    'a body is no JSON',
    `INSERT INTO entries SELECT job, 3, at, by_id, by_name, kind, subject, 'x', 'k', digest, '${ones}', NULL FROM entries WHERE seq = 2`,
    /CHECK|json/i,
  ],
  [
    'a number is a word',
    `INSERT INTO entries SELECT job, 'three', at, by_id, by_name, kind, subject, body, 'k', digest, '${ones}', NULL FROM entries WHERE seq = 2`,
    /follows|datatype|cannot store/i,
  ],
];

test.each(attacks)('is refused by the schema: %s', (_name, sql, refusal) => {
  const store = tempStore();
  const job = openedJob(store);
  addNote(store, job, 'a second entry');
  store.photos.put({
    id: ones,
    original: zeros,
    widthPx: 1,
    heightPx: 1,
    jpeg: Buffer.from('j'),
    thumb: Buffer.from('t'),
  });
  store.records.put({ sha256: ones, job, revision: 1, pdf: Buffer.from('pdf') });
  const everything = () =>
    ['jobs', 'entries', 'shop_entries', 'heads', 'photos', 'records'].map((t) =>
      store.db.prepare(`SELECT * FROM ${t}`).all(),
    );
  const before = everything();
  expect(() => store.db.exec(sql)).toThrow(refusal);
  expect(everything()).toEqual(before);
});

test('every table is strict but for the index of words and what it is made of', () => {
  const store = tempStore();
  const tables = store.db.pragma('table_list') as {
    name: string;
    strict: number;
    schema: string;
    type: string;
  }[];
  const loose = tables.filter((t) => t.schema === 'main' && !t.name.startsWith('sqlite_') && t.strict !== 1);
  expect(loose.filter((t) => t.type === 'table').map((t) => t.name)).toEqual([]);
  expect(loose.filter((t) => t.type !== 'table').every((t) => t.name.startsWith('job_words'))).toBe(true);
});
