import { statSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { openDatabase } from '../../src/store/database.js';
import { openStore } from '../../src/store/open-store.js';
import { makeBackup, restoreBackup } from '../../src/store/upkeep/backup.js';
import { findings } from '../../src/store/upkeep/findings.js';
import { addNote, openedJob, standingClock, tempFolder, tempStore } from './temp-store.js';

const limitBytes = 16 * 1024 * 1024;
const someText = 'x'.repeat(900);

/** A shop with one job, in which as much is written as the file beside the database must grow by. */
function shopAtWork() {
  const store = tempStore();
  const job = openedJob(store);
  const walBytes = () => statSync(`${store.dir}/logbook.db-wal`).size;
  /** Writes entries, and rows that are gone again, until so many bytes were added to the file beside the database. */
  const writeOver = (bytes: number) => {
    const from = walBytes();
    for (let k = 0; walBytes() < from + bytes; k += 1) {
      if (k % 4 === 0) addNote(store, job, `${k} ${someText}`);
      store.secrets.put('filler', `${k % 10}`.repeat(4_000_000));
    }
  };
  return { store, job, walBytes, writeOver };
}

test('while somebody reads for long the file beside the database grows, and shrinks again once they are done', () => {
  const { store, walBytes, writeOver } = shopAtWork();
  const reader = openDatabase(`${store.dir}/logbook.db`, { readOnly: true });
  onTestFinished(() => void reader.close());
  const count = () => reader.prepare('SELECT count(*) FROM entries').pluck().get();
  reader.exec('BEGIN');
  const before = count();
  writeOver(2 * limitBytes);
  expect(walBytes()).toBeGreaterThan(2 * limitBytes);
  // The reader still has its one moment.
  expect(count()).toBe(before);
  reader.exec('COMMIT');
  expect(count()).not.toBe(before);
  // The next writes put all of it into the database, begin the file anew and cut it to its limit.
  for (let k = 0; k < 3; k += 1) store.secrets.put('filler', `after ${k}`);
  expect(walBytes()).toBeLessThanOrEqual(limitBytes);
  store.close();
  expect([...findings(openedAt(store.dir))]).toEqual([]);
});

test('a reader who never ends keeps nobody from writing, nor the shop from being backed up as it is by then', () => {
  const { store, job, writeOver } = shopAtWork();
  const reader = openDatabase(`${store.dir}/logbook.db`, { readOnly: true });
  onTestFinished(() => void reader.close());
  reader.exec('BEGIN');
  reader.prepare('SELECT count(*) FROM entries').get();
  writeOver(limitBytes);
  const entries = store.logbook.entries(job);
  const file = `${tempFolder()}/shop.backup`;
  makeBackup(store.dir, file, new Date('2026-11-25T08:00:00.000Z'));
  addNote(store, job, 'behind the backup');
  const dir = `${tempFolder()}/restored`;
  restoreBackup(file, dir);
  const restored = openStore({ dir, clock: standingClock(), readOnly: true });
  expect(restored.logbook.entries(job)).toEqual(entries);
  restored.close();
});

function openedAt(dir: string) {
  const db = openDatabase(`${dir}/logbook.db`, { readOnly: true });
  onTestFinished(() => void db.close());
  return db;
}
