import { mkdirSync, readdirSync, readlinkSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { guards, openDatabase } from '../../src/store/database.js';
import { openStore } from '../../src/store/open-store.js';
import { addNote, openedJob, standingClock, tempFolder, tempStore } from './temp-store.js';

test('a store waits for the disk at every commit, and says so when asked after its first statement', () => {
  const store = tempStore();
  openedJob(store);
  for (const [name, wanted] of Object.entries(guards))
    expect([name, store.db.pragma(name, { simple: true })]).toEqual([name, wanted]);
  expect(guards.synchronous).toBe(2);
  expect(store.db.pragma('journal_mode', { simple: true })).toBe('wal');
});

test('a store that is opened again is still guarded', () => {
  const dir = tempFolder();
  tempStore(dir).close();
  const db = openDatabase(`${dir}/logbook.db`);
  expect(db.pragma('synchronous', { simple: true })).toBe(2);
  db.close();
});

test('what a savepoint would take back waits in memory: a group of forms opens no file elsewhere', () => {
  const db = openDatabase(`${tempFolder()}/logbook.db`);
  db.exec('CREATE TABLE rows (id INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT');
  const insert = db.prepare('INSERT INTO rows (body) VALUES (?)');
  for (let k = 0; k < 200; k += 1) insert.run('x'.repeat(1000));
  const written = db.transaction(() =>
    db.transaction(() => {
      db.prepare('UPDATE rows SET body = ?').run('y'.repeat(1000));
      return filesOpen();
    })(),
  );
  expect(written().filter((file) => /etilqs/.test(file))).toEqual([]);
  db.close();
});

/** Files that this process has open, where the system tells. */
function filesOpen(): string[] {
  const folder = '/proc/self/fd';
  return readdirSync(folder).flatMap((fd) => {
    try {
      return [readlinkSync(`${folder}/${fd}`)];
    } catch {
      // The one that the folder was read by is closed already.
      return [];
    }
  });
}

test('the library is past the release that mends the race in resetting a WAL', () => {
  const [major = 0, minor = 0, patch = 0] = (
    tempStore().db.prepare('SELECT sqlite_version() AS v').get() as { v: string }
  ).v
    .split('.')
    .map(Number);
  expect(major * 1e6 + minor * 1e3 + patch).toBeGreaterThanOrEqual(3_051_003);
});

test('a second writer of the same folder is refused in words, and the first goes on', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  expect(() => openStore({ dir, clock: standingClock() })).toThrow(/Another process already writes in/);
  const job = openedJob(store);
  expect(addNote(store, job, 'still here').ok).toBe(true);
});

test('a reader beside a writer sees what is committed and can write nothing', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  const reader = openStore({ dir, clock: standingClock(), readOnly: true });
  expect(reader.logbook.entries(job)).toHaveLength(1);
  expect(() => addNote(reader, job, 'no')).toThrow(/reading only/);
  reader.close();
});

test('a file that is no database is refused in words and left as it is', () => {
  const dir = tempFolder();
  writeFileSync(`${dir}/logbook.db`, 'not a database at all, but long enough to be read as one '.repeat(20));
  expect(() => openStore({ dir, clock: standingClock() })).toThrow(/not a database that can be read/);
});

test.each([
  ['a folder where the database should be', 'logbook.db', /cannot be opened for writing/],
  ['a folder where the lock should be', 'writer.lock', /cannot be opened for writing/],
  ['a folder where the heads are written', 'heads.json.tmp', /cannot be opened for writing/],
])('%s is told in words', (_name, name, words) => {
  const dir = tempFolder();
  mkdirSync(`${dir}/${name}`);
  expect(() => openStore({ dir, clock: standingClock() })).toThrow(words);
});

test('a database that lacks a table is refused in words', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  openedJob(store);
  store.db.exec('DROP TABLE shop_entries');
  store.close();
  expect(() => openStore({ dir, clock: standingClock() })).toThrow(/not laid out as a logbook is/);
});

test('a disk that is full refuses the entry in words, keeps what there is, and takes entries again with room', () => {
  const store = tempStore();
  const job = openedJob(store);
  const pages = store.db.pragma('page_count', { simple: true }) as number;
  store.db.pragma(`max_page_count = ${pages}`);
  const fill = () => {
    for (let k = 0; k < 200; k++) addNote(store, job, `${k} ${'x'.repeat(900)}`);
  };
  expect(fill).toThrow(/disk would not take/);
  const kept = store.logbook.entries(job).length;
  store.db.pragma('max_page_count = 100000');
  expect(addNote(store, job, 'room again').ok).toBe(true);
  expect(store.logbook.entries(job)).toHaveLength(kept + 1);
});
