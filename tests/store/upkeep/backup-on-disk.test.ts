import { expect, test, vi } from 'vitest';
import { makeBackup, restoreBackup } from '../../../src/store/upkeep/backup.js';
import { openedJob, tempFolder, tempStore } from '../temp-store.js';

/** What was asked of the disk, in its order: a file or folder that was put on it, or a name that was given. */
const asked = vi.hoisted(() => ({ handles: new Map<number, string>(), of: [] as string[] }));
vi.mock('node:fs', async (original) => {
  const fs = await original<typeof import('node:fs')>();
  const openSync: typeof fs.openSync = (path, ...how) => {
    const handle = fs.openSync(path, ...how);
    asked.handles.set(handle, String(path));
    return handle;
  };
  const fsyncSync = (handle: number) => {
    asked.of.push(`keep ${asked.handles.get(handle)}`);
    fs.fsyncSync(handle);
  };
  const linkSync: typeof fs.linkSync = (from, to) => {
    asked.of.push(`name ${to}`);
    fs.linkSync(from, to);
  };
  const renameSync: typeof fs.renameSync = (from, to) => {
    asked.of.push(`name ${to}`);
    fs.renameSync(from, to);
  };
  return { ...fs, openSync, fsyncSync, linkSync, renameSync };
});

/** What was asked of the disk meanwhile, with folders that are made for the work under one name. */
function askedIn(folder: string, work: () => void): string[] {
  asked.of = [];
  work();
  return asked.of.map((what) =>
    what
      .replace(folder, '.')
      .replace(/\.inlet-unfinished-[^/]+/, 'work')
      .replace('.tmp', ''),
  );
}

// A power cut after the answer: what stands under its name is whole, and the name is there (fsync(2): the folder is asked apart).
test('a backup is on the disk before it has its name, and its name before it is told; so is what is restored', () => {
  const store = tempStore();
  openedJob(store);
  const folder = tempFolder();
  const file = `${folder}/shop.backup`;
  const made = askedIn(folder, () => makeBackup(store.dir, file, new Date('2026-11-25T08:00:00.000Z')));
  expect(made).toEqual(['keep ./work/whole', 'name ./shop.backup', 'keep .']);
  const restored = askedIn(folder, () => restoreBackup(file, `${folder}/restored`));
  expect(restored).toEqual([
    'keep ./work/logbook.db',
    'keep ./work/heads.json',
    'name ./work/heads.json',
    'keep ./work',
    'name ./restored',
    'keep .',
  ]);
});
