import { createHash } from 'node:crypto';
import { copyFileSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { seal } from '../../src/logbook/chain.js';
import type { Entry, NewEntry } from '../../src/logbook/entry.js';
import { openDatabase } from '../../src/store/database.js';
import { readHeads } from '../../src/store/heads-file.js';
import { openStore } from '../../src/store/open-store.js';
import {
  addNote,
  made,
  noted,
  openedJob,
  sendForm,
  standingClock,
  tempFolder,
  tempStore,
  writing,
} from './temp-store.js';

/** A folder as a killed process leaves it: everything still in the WAL. Twelve entries were answered. */
function killedStore() {
  const store = tempStore();
  store.db.pragma('wal_checkpoint(TRUNCATE)');
  store.db.pragma('wal_autocheckpoint = 0');
  const job = openedJob(store);
  for (let k = 0; k < 10; k++) addNote(store, job, `note ${k} ${'y'.repeat(300)}`);
  const files = ['logbook.db', 'logbook.db-wal', 'heads.json'].map((name): [string, Buffer] => [
    name,
    readFileSync(`${store.dir}/${name}`),
  ]);
  return { job, files: new Map(files) };
}

function reopened(files: ReadonlyMap<string, Buffer>) {
  const dir = tempFolder();
  for (const [name, bytes] of files) writeFileSync(`${dir}/${name}`, bytes);
  return tempStore(dir);
}

test('a store that was killed opens whole, with every entry that was answered', () => {
  const { job, files } = killedStore();
  const store = reopened(files);
  expect(store.broken).toBeUndefined();
  expect(store.logbook.entries(job)).toHaveLength(11);
});

test('a WAL that is cut anywhere, or has one byte turned, is noticed when the store is opened', () => {
  const { files } = killedStore();
  const wal = files.get('logbook.db-wal') as Buffer;
  const frame = 24 + 4096;
  let lost = 0;
  for (let at = 32; at < wal.length; at += frame * 3 + 1009) {
    const cut = new Map(files).set('logbook.db-wal', wal.subarray(0, at));
    const flipped = Buffer.from(wal);
    flipped[at] = (flipped[at] as number) ^ 0xff;
    for (const harmed of [cut, new Map(files).set('logbook.db-wal', flipped)]) {
      const store = reopened(harmed);
      const whole = store.db.prepare('SELECT count(*) AS n FROM heads').get() as { n: number };
      if (whole.n < 12) {
        lost += 1;
        expect(store.broken).toMatch(/has lost \d+ of the newest entries/);
      } else expect(store.broken).toBeUndefined();
      store.close();
    }
  }
  expect(lost).toBeGreaterThan(8);
});

test('a store that disagrees with its heads still reads, and writes nothing', () => {
  const { job, files } = killedStore();
  const wal = files.get('logbook.db-wal') as Buffer;
  const store = reopened(new Map(files).set('logbook.db-wal', wal.subarray(0, Math.floor(wal.length * 0.7))));
  expect(store.logbook.entries(job).length).toBeGreaterThan(0);
  expect(() => addNote(store, job, 'no')).toThrow(/Nothing more is written/);
  expect(() => openedJob(store)).toThrow(/Nothing more is written/);
  expect(() => store.secrets.put('a', 'b')).toThrow(/Nothing more is written/);
});

test('an older copy of the database is noticed', () => {
  const dir = tempFolder();
  let store = tempStore(dir);
  const job = openedJob(store);
  store.close();
  copyFileSync(`${dir}/logbook.db`, `${dir}/older.db`);
  store = tempStore(dir);
  addNote(store, job, 'made after the copy');
  store.close();
  copyFileSync(`${dir}/older.db`, `${dir}/logbook.db`);
  expect(tempStore(dir).broken).toMatch(
    /has lost 1 of the newest entries, from entry 2 of the logbook of job 2026-001/,
  );
});

test('a tail that is gone with its heads is noticed by the heads beside it', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  addNote(store, job, 'one');
  const heads = readFileSync(`${dir}/heads.json`);
  store.close();
  const db = openDatabase(`${dir}/logbook.db`);
  db.exec(
    'DROP TRIGGER entries_no_delete; DROP TRIGGER heads_no_delete; DELETE FROM entries WHERE seq = 2; DELETE FROM heads WHERE n = 3; DELETE FROM form_keys',
  );
  db.close();
  rmSync(`${dir}/heads.json`);
  const other = openStore({ dir, clock: standingClock() });
  expect(other.broken).toMatch(/heads.json is gone/);
  other.close();
  writeFileSync(`${dir}/heads.json`, heads);
  expect(tempStore(dir).broken).toMatch(/has lost 1/);
});

test.each([
  [
    'an entry that was rewritten behind the triggers',
    "DROP TRIGGER entries_no_update; UPDATE entries SET body = replace(body, 'one', 'none') WHERE seq = 2",
    'the logbook of job 2026-001: entry 2 is not what was written',
  ],
  [
    'the newest entry that was taken out under its head',
    'DROP TRIGGER entries_no_delete; DELETE FROM entries WHERE seq = 3',
    'the logbook of job 2026-001: entry 3 was written and is gone',
  ],
  [
    'an entry that was put in without a head',
    `INSERT INTO entries SELECT job, 4, at, by_id, by_name, kind, subject, body, 'put-in-later', digest, '${'f'.repeat(64)}', filled_in
       FROM entries WHERE seq = 3`,
    'the logbook of job 2026-001: entry 4 has no head over it',
  ],
  [
    'a head that was written anew',
    `DROP TRIGGER heads_no_update; UPDATE heads SET head = '${'f'.repeat(64)}' WHERE n = 3`,
    'head 4 does not follow from the one before it',
  ],
])('%s is told at the start', (_what, change, words) => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  addNote(store, job, 'one');
  addNote(store, job, 'two');
  store.close();
  const db = openDatabase(`${dir}/logbook.db`);
  db.pragma('foreign_keys = OFF');
  db.exec(change);
  db.close();
  expect(tempStore(dir).broken).toBe(words);
});

test('a logbook of more entries and heads than a start goes through opens, and of its newest none may be another', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  const notes = Array.from({ length: 330 }, (_, k) => noted(`note ${k}`));
  made(sendForm(store, job, writing(...notes)));
  store.close();
  const sound = tempStore(dir);
  expect(sound.broken).toBeUndefined();
  sound.close();
  const db = openDatabase(`${dir}/logbook.db`);
  db.exec("DROP TRIGGER entries_no_update; UPDATE entries SET by_name = 'Somebody' WHERE seq = 40");
  db.close();
  expect(tempStore(dir).broken).toBe('the logbook of job 2026-001: entry 40 is not what was written');
});

test('the newest entry written and sealed anew under its old head is told at the start', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  addNote(store, job, 'the true words');
  const [before, { previous: _p, digest: _d, seq: _s, ...last }] = store.logbook.entries(job).slice(-2) as [
    Entry,
    Entry,
  ];
  store.close();
  const body = JSON.parse(JSON.stringify(last.body).replace('true', 'false'));
  const { digest } = seal({ ...last, body }, before);
  const db = openDatabase(`${dir}/logbook.db`);
  db.exec('DROP TRIGGER entries_no_update');
  db.prepare('UPDATE entries SET body = ?, digest = ? WHERE seq = 2').run(JSON.stringify(body), digest);
  db.close();
  expect(tempStore(dir).broken).toBe('the logbook of job 2026-001: entry 2 is not the one that was written');
});

test('a tail that was written anew, as long and as whole as the one that was answered, is noticed by the heads beside it', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  store.close();
  const other = tempFolder();
  for (const name of readdirSync(dir)) copyFileSync(`${dir}/${name}`, `${other}/${name}`);
  for (const [at, note] of [
    [dir, 'as it was'],
    [other, 'as it should have been'],
  ] as const) {
    const opened = tempStore(at);
    addNote(opened, job, note);
    opened.close();
  }
  copyFileSync(`${other}/logbook.db`, `${dir}/logbook.db`);
  expect(tempStore(dir).broken).toBe('the entries are not the ones that heads.json was written for');
});

test.each([
  ['is gone', undefined, /heads.json is gone/],
  ['is empty', '', /cannot be read/],
  ['is another file', '{"format":"other"}', /cannot be read/],
])('a heads file that %s closes the logbook for writing', (_name, text, words) => {
  const dir = tempFolder();
  const store = tempStore(dir);
  openedJob(store);
  store.close();
  if (text === undefined) rmSync(`${dir}/heads.json`);
  else writeFileSync(`${dir}/heads.json`, text);
  expect(tempStore(dir).broken).toMatch(words);
});

test('a crash between the commit and the heads file is no fault: the next start catches up', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  const before = readFileSync(`${dir}/heads.json`);
  addNote(store, job, 'committed, and then the power went');
  store.close();
  writeFileSync(`${dir}/heads.json`, before);
  const again = tempStore(dir);
  expect(again.broken).toBeUndefined();
  expect(readHeads(`${dir}/heads.json`)).toMatchObject({ n: 3 });
});

test('a line of the heads that was torn anywhere leaves the one before it, which is of everything answered before', () => {
  const store = tempStore();
  const file = `${store.dir}/heads.json`;
  const job = openedJob(store);
  // So many heads that a line is longer than a sector.
  for (let k = 0; k < 20; k++) addNote(store, job, `earlier note ${k}`);
  let tornLines = 0;
  for (let k = 0; k < 4; k++) {
    const before = readFileSync(file);
    addNote(store, job, `note ${k}`);
    const after = readFileSync(file);
    const n = k + 23;
    expect(readHeads(file)).toMatchObject({ n, newest: { length: n } });
    const at = [0, 4096].filter(
      (line) => !before.subarray(line, line + 4096).equals(after.subarray(line, line + 4096)),
    );
    expect(at).toHaveLength(1);
    for (let sectors = 1; sectors < 255; sectors += 1) {
      const torn = Buffer.from(before);
      for (let s = 0; s < 8; s += 1) {
        const from = (at[0] ?? 0) + s * 512;
        if ((sectors >> s) & 1) after.copy(torn, from, from, from + 512);
      }
      writeFileSync(file, torn);
      const { n: found } = readHeads(file) as { n: number };
      if (!torn.equals(before) && !torn.equals(after)) tornLines += 1;
      expect(found).toBe(torn.equals(after) ? n : n - 1);
    }
    writeFileSync(file, after);
  }
  expect(tornLines).toBeGreaterThan(0);
});

test('heads whose two lines are both torn close the logbook for writing', () => {
  const store = tempStore();
  addNote(store, openedJob(store), 'one');
  store.close();
  const file = `${store.dir}/heads.json`;
  const bytes = readFileSync(file);
  bytes[40] = (bytes[40] as number) ^ 1;
  bytes[4096 + 40] = (bytes[4096 + 40] as number) ^ 1;
  writeFileSync(file, bytes);
  expect(tempStore(store.dir).broken).toMatch(/cannot be read/);
});

const digestOf = (bytes: Buffer) => createHash('sha256').update(bytes).digest('hex');
const kept = Buffer.from('as it was kept');
const id = digestOf(kept);
const photoAdded: NewEntry = {
  kind: 'photo added',
  subject: 'step:label',
  body: { photo: id, original: id, caption: '', widthPx: 8, heightPx: 8 },
};
const recordIssued: NewEntry = {
  kind: 'record issued',
  subject: 'job',
  body: {
    ...{ revision: 1, sha256: id, bytes: kept.length, head: id, fingerprint: id, worksAlone: false },
    signature: { name: 'Ines', strokes: [] },
  },
};

test.each([
  [
    'a photo that was exchanged',
    "UPDATE photos SET jpeg = x'ffd8ff'",
    /photo [0-9a-f]{12} is not what was kept/,
  ],
  ['a photo that was taken out', 'DELETE FROM photos', /photo [0-9a-f]{12} is gone/],
  [
    'a record that was exchanged',
    "UPDATE records SET pdf = x'25'",
    /record [0-9a-f]{12} is not what was kept/,
  ],
  ['a record that was taken out', 'DELETE FROM records', /record [0-9a-f]{12} is gone/],
])('%s behind the triggers is noticed and named', (_name, change, words) => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  const photo = { id, original: id, widthPx: 8, heightPx: 8, jpeg: kept, thumb: kept };
  const attach = { photos: [photo], records: [{ sha256: id, job, revision: 1, pdf: kept }] };
  made(sendForm(store, job, writing(photoAdded, recordIssued), { attach }));
  store.close();
  const sound = tempStore(dir);
  expect(sound.broken).toBeUndefined();
  sound.close();
  const db = openDatabase(`${dir}/logbook.db`);
  for (const table of ['photos', 'records'])
    db.exec(`DROP TRIGGER ${table}_no_update; DROP TRIGGER ${table}_no_delete`);
  db.exec(change);
  db.close();
  const spoilt = tempStore(dir);
  expect(spoilt.broken).toMatch(words);
  expect(() => addNote(spoilt, job, 'no')).toThrow(/Nothing more is written/);
});
