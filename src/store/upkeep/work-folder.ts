import { lstatSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { AppError } from '../../errors.js';

/** What the folder of a backup or a restore is called until its work has a name of its own. */
const prefix = '.inlet-unfinished-';

/** Whoever works in such a folder writes in it all the while: one that nothing was written in for so long (ms) was left behind. */
const leftAfter = 24 * 60 * 60 * 1000;

/**
 * A new folder beside `target`, on the same disk, for what will be put in its place. What a killed backup or restore left
 * there goes, since it may hold passphrases, which no backup does. Throws AppError `bad-argument` where nothing can be written there.
 */
export function workFolderBeside(target: string, now: Date): string {
  const beside = dirname(target);
  try {
    for (const name of readdirSync(beside))
      if (name.startsWith(prefix) && lastWritten(`${beside}/${name}`) < now.getTime() - leftAfter)
        rmSync(`${beside}/${name}`, { recursive: true, force: true });
    return mkdtempSync(`${beside}/${prefix}${basename(target)}-`);
  } catch (cause) {
    throw new AppError('bad-argument', `Nothing can be written in ${beside}.`, { cause });
  }
}

/** Which file or folder a name in a folder of backups stands for while it is made, or undefined. */
export function madeIn(name: string): string | undefined {
  return name.startsWith(prefix) ? name.slice(prefix.length).replace(/-[A-Za-z0-9]{6}$/, '') : undefined;
}

/** When anything was last written in a folder; for ever where it cannot be read, as one that is put in its place just now. */
function lastWritten(folder: string): number {
  try {
    const inside = readdirSync(folder).map((name) => lstatSync(`${folder}/${name}`).mtimeMs);
    return Math.max(lstatSync(folder).mtimeMs, ...inside);
  } catch {
    return Number.POSITIVE_INFINITY;
  }
}
