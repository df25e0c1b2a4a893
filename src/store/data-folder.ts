import { accessSync, constants, existsSync, lchownSync, lstatSync, mkdirSync, type Stats } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { AppError } from '../errors.js';
import { databaseName, headsName } from './open-beside.js';
import { secretName } from './shop-secret.js';

/** What a shop's own program makes in its data folder and opens again at each start. */
const ownNames = [
  ...['', '-wal', '-shm'].map((end) => `${databaseName}${end}`),
  ...[headsName, secretName, 'writer.lock'],
];

/**
 * Makes a data folder where there is none, and sees to it that this user may write in it and in what lies there. Throws AppError
 * `bad-argument` with whose it is and how it is given back, `logbook-broken` where a folder has lost its database: another one, made
 * empty in its place, would take the log beside the lost one with it.
 */
export function readyFolder(dir: string, access: typeof accessSync = accessSync): void {
  try {
    makeWithParents(resolve(dir));
    access(dir, constants.R_OK | constants.W_OK | constants.X_OK);
  } catch (cause) {
    throw new AppError(
      'bad-argument',
      `The data folder ${dir} cannot be made or written in: ${whyNot(dir, cause)}.`,
      { cause },
    );
  }
  refuseLost(dir);
  refuseOthersFiles(dir, access);
}

/** One folder after the other: the recursive mkdir of Node 20 never ends where the system answers that a parent is missing that is there. */
function makeWithParents(dir: string): void {
  if (existsSync(dir)) return;
  makeWithParents(dirname(dir));
  mkdirSync(dir, { mode: 0o700 });
}

/** Why a folder cannot be made or written in, in words. */
export function whyNot(dir: string, cause: unknown): string {
  const { code } = cause as NodeJS.ErrnoException;
  const there = statsOf(dir);
  if (code === 'ENOTDIR' || there?.isFile()) return 'a file stands where the folder should be';
  if (code === 'EROFS')
    return 'its disk is open for reading only, or the service’s unit file does not let it through (ReadWritePaths)';
  if (code === 'ENOSPC' || code === 'EDQUOT') return 'its disk is full';
  if (code === 'EACCES' || code === 'EPERM')
    return `the user that runs this program (${process.getuid?.()}) may not${there === undefined ? '' : `, and it belongs to ${userText(there.uid)}`}`;
  return `the system says ${code ?? String(cause)}`;
}

function refuseLost(dir: string): void {
  if (existsSync(`${dir}/${databaseName}`) || !existsSync(`${dir}/${headsName}`)) return;
  throw new AppError(
    'logbook-broken',
    `${databaseName} is gone from ${dir}, where ${headsName} says that there was one; nothing was made in its place. Put back the one that belongs here, with what lay beside it, or restore a backup into another folder and go on there.`,
  );
}

/** SQLite would open a file that it may not write in for reading alone and say nothing, and each form would be refused without a reason. */
function refuseOthersFiles(dir: string, access: typeof accessSync): void {
  for (const name of ownNames) {
    const file = `${dir}/${name}`;
    const found = fileAt(file);
    if (found === undefined) continue;
    try {
      access(file, constants.R_OK | constants.W_OK);
    } catch (cause) {
      throw new AppError(
        'bad-argument',
        `${file} cannot be opened for writing: ${whyClosed(found, dir, cause)}`,
        {
          cause,
        },
      );
    }
  }
}

function whyClosed({ uid }: Stats, dir: string, cause: unknown): string {
  if ((cause as NodeJS.ErrnoException).code === 'EROFS') return 'its disk is open for reading only.';
  if (uid === process.getuid?.()) return `it is closed to its own user. Open it: chmod u+rw ${dir}/*`;
  return `it belongs to ${userText(uid)}. Give it back to the user whose folder it is: sudo chown -R --reference=${dir} ${dir}`;
}

function userText(uid: number): string {
  if (uid === process.getuid?.()) return 'that user';
  return uid === 0 ? 'root, as after a command that was run with sudo' : `another user (${uid})`;
}

/**
 * Gives what root made in another user's data folder to that user: else a command that was run with sudo would leave the server, which
 * runs as they do, without its files. A link, or a file that has a second name elsewhere, is left alone.
 */
export function giveToOwner(dir: string): void {
  if (process.getuid?.() !== 0) return;
  const { uid, gid } = lstatSync(dir);
  for (const name of ownNames) {
    const found = fileAt(`${dir}/${name}`);
    if (found !== undefined && found.uid !== uid && found.uid === 0 && found.nlink === 1)
      lchownSync(`${dir}/${name}`, uid, gid);
  }
}

function fileAt(file: string): Stats | undefined {
  const found = statsOf(file);
  return found?.isFile() ? found : undefined;
}

function statsOf(path: string): Stats | undefined {
  try {
    return lstatSync(path);
  } catch {
    return undefined;
  }
}
