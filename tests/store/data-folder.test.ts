import { chownSync, readdirSync, renameSync, rmSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { giveToOwner, readyFolder, whyNot } from '../../src/store/data-folder.js';
import { onOneDisk } from '../../src/store/mount-doubt.js';
import { openStore } from '../../src/store/open-store.js';
import { openedJob, standingClock, tempFolder, tempStore } from './temp-store.js';

function closedShop(): string {
  const dir = tempFolder();
  const store = tempStore(dir);
  openedJob(store);
  store.close();
  return dir;
}

const refusing =
  (end: string, code: string): typeof import('node:fs').accessSync =>
  (path) => {
    if (String(path).endsWith(end)) throw Object.assign(new Error(code), { code });
  };

test.each(['logbook.db', 'heads.json', 'shop.secret', 'writer.lock'])(
  'a %s that may not be written is named at the start, not met by the first form',
  (name) => {
    const dir = closedShop();
    expect(() => readyFolder(dir, refusing(name, 'EACCES'))).toThrow(
      new RegExp(`${name} cannot be opened for writing: .*(chmod|chown)`),
    );
    expect(() => readyFolder(dir, refusing(name, 'EROFS'))).toThrow(/its disk is open for reading only/);
    expect(() => readyFolder(dir)).not.toThrow();
  },
);

test('a folder that cannot be made says why in words', () => {
  const dir = tempFolder();
  writeFileSync(`${dir}/plain`, '');
  expect(() => readyFolder(`${dir}/plain`)).toThrow(/a file stands where the folder should be/);
  expect(() => readyFolder(`${dir}/plain/below`)).toThrow(/a file stands where the folder should be/);
  expect(() => readyFolder(dir, refusing(dir, 'EACCES'))).toThrow(
    /the user that runs this program .* may not/,
  );
  expect(whyNot(dir, Object.assign(new Error(), { code: 'ENOSPC' }))).toBe('its disk is full');
});

test('a folder that lost its database is refused, and the log that lay beside it is still there', () => {
  const dir = closedShop();
  renameSync(`${dir}/logbook.db`, `${dir}/elsewhere`);
  writeFileSync(`${dir}/logbook.db-wal`, 'what was written last');
  const before = readdirSync(dir);
  expect(() => openStore({ dir, clock: standingClock() })).toThrow(/logbook\.db is gone .* nothing was made/);
  expect(readdirSync(dir)).toEqual(before);
  rmSync(`${dir}/logbook.db-wal`);
  renameSync(`${dir}/elsewhere`, `${dir}/logbook.db`);
  expect(tempStore(dir).broken).toBeUndefined();
});

test.skipIf(process.getuid?.() !== 0)(
  'what a command run as root makes in another’s folder belongs to whoever the folder belongs to',
  () => {
    const dir = closedShop();
    const other = 65_534;
    const outside = `${tempFolder()}/outside`;
    writeFileSync(outside, '');
    for (const name of ['.', ...readdirSync(dir)]) chownSync(`${dir}/${name}`, other, other);
    const store = tempStore(dir);
    const names = readdirSync(dir);
    expect(names).toContain('heads.json');
    expect(names.filter((name) => statSync(`${dir}/${name}`).uid !== other)).toEqual([]);
    store.close();
    rmSync(`${dir}/heads.json`);
    symlinkSync(outside, `${dir}/heads.json`);
    giveToOwner(dir);
    expect(statSync(outside).uid).toBe(0);
  },
);

test('two folders on one disk are told, though one is not made yet', () => {
  const dir = tempFolder();
  expect(onOneDisk(dir, `${dir}/not/yet`)).toBe(true);
  expect(onOneDisk(dir, '/proc')).toBe(false);
});
