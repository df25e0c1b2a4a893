import { readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { expect, test, vi } from 'vitest';
import { writeNew } from '../../src/command-line/write-out.js';
import { tempFolder } from '../store/temp-store.js';

/** What was asked of a file after it was opened; with `full`, the disk takes half of it. */
const disk = vi.hoisted(() => ({ asked: [] as string[], full: false }));
vi.mock('node:fs/promises', async (original) => {
  const fs = await original<typeof import('node:fs/promises')>();
  const open: typeof fs.open = async (...how) => {
    const file = await fs.open(...how);
    const { writeFile, sync, close } = file;
    file.writeFile = async (bytes, ...more) => {
      disk.asked.push('write');
      const whole = bytes as Uint8Array;
      await writeFile.call(file, disk.full ? whole.subarray(0, whole.length / 2) : whole, ...more);
      if (disk.full) throw Object.assign(new Error('no room'), { code: 'ENOSPC' });
    };
    file.sync = async () => {
      disk.asked.push('sync');
      await sync.call(file);
    };
    file.close = async () => {
      disk.asked.push('close');
      await close.call(file);
    };
    return file;
  };
  return { ...fs, open };
});

const bytes = Buffer.from('what a command made');

test('a new file is on the disk before the command ends', async () => {
  const file = `${tempFolder()}/record.pdf`;
  disk.asked = [];
  await writeNew(file, bytes);
  expect(disk.asked).toEqual(['write', 'sync', 'close']);
  expect(readFileSync(file).equals(bytes)).toBe(true);
});

test('a file that is there, or that a name leads to, stays as it is', async () => {
  const folder = tempFolder();
  writeFileSync(`${folder}/mine`, 'mine');
  symlinkSync(`${folder}/mine`, `${folder}/by another name`);
  symlinkSync(`${folder}/nowhere`, `${folder}/to nothing`);
  for (const name of ['mine', 'by another name', 'to nothing'])
    await expect(writeNew(`${folder}/${name}`, bytes)).rejects.toMatchObject({ code: 'EEXIST' });
  expect(readFileSync(`${folder}/mine`, 'utf8')).toBe('mine');
  expect(readdirSync(folder).sort()).toEqual(['by another name', 'mine', 'to nothing']);
});

test('what cannot be written whole is taken away again, and said', async () => {
  const folder = tempFolder();
  disk.full = true;
  await expect(writeNew(`${folder}/record.pdf`, bytes)).rejects.toMatchObject({ code: 'ENOSPC' });
  disk.full = false;
  expect(readdirSync(folder)).toEqual([]);
});

test('a device is written to as it is', async () => {
  await writeNew('/dev/null', bytes);
  await expect(writeNew('/dev/full', bytes)).rejects.toMatchObject({ code: 'ENOSPC' });
});
