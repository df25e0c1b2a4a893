import { mkdirSync, rmdirSync, rmSync, statSync } from 'node:fs';
import { expect, test } from 'vitest';
import { AppError } from '../../src/errors.js';
import { readHeads } from '../../src/store/heads-file.js';
import { isUnconfirmed } from '../../src/store/sql-error.js';
import { addNote, made, openedJob, tempFolder, tempStore } from './temp-store.js';

const kept = (dir: string) => (readHeads(`${dir}/heads.json`) as { n?: number }).n;

test('the heads of an entry ask a full disk for nothing: they go over an older line', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  // A folder in its place stands for a disk that takes no file more.
  mkdirSync(`${dir}/heads.json.tmp`);
  const lengths = [1, 2, 3].map((k) => {
    made(addNote(store, job, `note ${k}`));
    return statSync(`${dir}/heads.json`).size;
  });
  expect(lengths).toEqual([8192, 8192, 8192]);
  expect([store.logbook.entries(job).length, kept(dir), store.broken]).toEqual([4, 5, undefined]);
});

test('an entry whose heads could not be put in their place is not answered, and is written once when it comes again', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  const job = openedJob(store);
  rmSync(`${dir}/heads.json`);
  mkdirSync(`${dir}/heads.json`);
  const note = (key: string) => addNote(store, job, 'with a key', key);
  expect(() => note('the-same-key')).toThrow(/Send it once more: it is written once/);
  expect(() => note('another-key-1')).toThrow();
  rmdirSync(`${dir}/heads.json`);
  expect(made(note('the-same-key')).map((e) => e.seq)).toEqual([2]);
  expect([store.logbook.entries(job).length, kept(dir), store.broken]).toEqual([2, 3, undefined]);
});

test('a failed fsync closes the store for writing, whoever made it', () => {
  const store = tempStore();
  const job = openedJob(store);
  const failing = Object.assign(new Error('disk I/O error'), { code: 'SQLITE_IOERR_FSYNC' });
  const attempt = () =>
    store.transact(() => {
      throw failing;
    });
  expect(attempt).toThrow(/did not confirm that this was kept/);
  expect(store.broken).toMatch(/did not confirm/);
  expect(() => addNote(store, job, 'no')).toThrow(/Nothing more is written/);
  expect(store.logbook.entries(job)).toHaveLength(1);
});

test.each([
  [{ code: 'SQLITE_IOERR_FSYNC' }, true],
  [{ code: 'SQLITE_IOERR_DIR_FSYNC' }, true],
  [{ code: 'EIO', syscall: 'fsync' }, true],
  [{ code: 'EIO', syscall: 'fdatasync' }, true],
  [{ code: 'SQLITE_IOERR_WRITE' }, false],
  [{ code: 'ENOSPC', syscall: 'write' }, false],
  [new AppError('store-full'), false],
])('%j leaves what was written unconfirmed: %s', (error, answer) => {
  expect(isUnconfirmed(error)).toBe(answer);
});
