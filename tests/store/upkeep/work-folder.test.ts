import { mkdirSync, readdirSync, utimesSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { makeBackup } from '../../../src/store/upkeep/backup.js';
import { madeIn, workFolderBeside } from '../../../src/store/upkeep/work-folder.js';
import { tempFolder, tempStore } from '../temp-store.js';

const now = new Date('2026-11-25T08:00:00Z');
const hours = (n: number) => new Date(now.getTime() - n * 3_600_000);

/** A folder as a killed backup leaves it, written in last so many hours ago. */
function leftIn(dir: string, name: string, wroteInside: Date, made = wroteInside): void {
  mkdirSync(`${dir}/${name}`);
  writeFileSync(`${dir}/${name}/logbook.db`, 'passphrases and all');
  utimesSync(`${dir}/${name}/logbook.db`, wroteInside, wroteInside);
  utimesSync(`${dir}/${name}`, made, made);
}

test('what a killed backup left a day ago is gone with the next one, whatever that is called; what somebody works in stays', () => {
  const dir = tempFolder();
  leftIn(dir, '.inlet-unfinished-monday.backup-aB3dE6', hours(25));
  leftIn(dir, '.inlet-unfinished-large.backup-aB3dE6', hours(1), hours(30));
  leftIn(dir, '.mine', hours(100));
  makeBackup(tempStore().dir, `${dir}/tuesday.backup`, now);
  expect(readdirSync(dir).sort()).toEqual([
    '.inlet-unfinished-large.backup-aB3dE6',
    '.mine',
    'tuesday.backup',
  ]);
});

test('its name says what is made in it', () => {
  const dir = tempFolder();
  workFolderBeside(`${dir}/van shop.backup`, now);
  expect(readdirSync(dir).map(madeIn)).toEqual(['van shop.backup']);
  expect(madeIn('van shop.backup')).toBeUndefined();
});

test('a folder in which nothing can be written is named', () => {
  expect(() => workFolderBeside('/proc/nowhere/a.backup', now)).toThrow(
    'Nothing can be written in /proc/nowhere.',
  );
});
