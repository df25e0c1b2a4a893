import { existsSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import { AppError } from '../../errors.js';
import { chainStart } from '../../logbook/chain.js';
import { packageVersion } from '../../package-root.js';
import { openDatabase, type Sql } from '../database.js';
import { lastHead } from '../heads.js';
import { writeHeads } from '../heads-file.js';
import { ownMigrations } from '../migrate.js';
import { databaseName, headsName, openBeside } from '../open-beside.js';
import { isDamage, isNoRoom } from '../sql-error.js';
import { syncFolder } from '../sync-folder.js';
import { digestOfFile, type Manifest, unpackDatabase, writeBackupFile } from './backup-file.js';
import { findingText } from './finding.js';
import { findings } from './findings.js';
import { workFolderBeside } from './work-folder.js';

/** What a backup leaves out, for whoever makes or restores one. */
export const notInside =
  'Not inside: passphrases, open sessions, and shop.secret, which opens the signing key. Keep a copy of shop.secret apart; after a restore people get new passphrases.';

/**
 * Copies a whole store into one file while others write in it: one moment of it, looked through before the file gets its
 * name. Throws AppError `bad-argument` where the file is there already, `logbook-broken` where the store disagrees
 * with itself (a damaged store must not push good copies out), `store-full` where there is no room.
 */
export function makeBackup(dir: string, file: string, now: Date): Manifest {
  const target = resolve(file);
  if (existsSync(target)) throw new AppError('bad-argument', `${file} is there already; name another file.`);
  const work = workFolderBeside(target, now);
  try {
    const copy = `${work}/${databaseName}`;
    const live = openBeside(dir);
    try {
      live.prepare('VACUUM INTO ?').run(copy);
    } finally {
      live.close();
    }
    const manifest = closeCopy(copy, now);
    writeBackupFile(target, manifest, copy, `${work}/whole`);
    return manifest;
  } catch (error) {
    throw roomError(error, file);
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

/** Takes out what no backup holds, looks through the rest, and says what it is. */
function closeCopy(copy: string, now: Date): Manifest {
  const db = openDatabase(copy);
  let manifest: Omit<Manifest, 'database'>;
  try {
    db.pragma('journal_mode = DELETE');
    db.exec(`DELETE FROM sessions; DELETE FROM secrets WHERE ${passphrases}`);
    // What was deleted is not left lying in free pages.
    db.exec('VACUUM');
    refuseFaulty(db, 'The store does not agree with itself, so no backup was made');
    manifest = about(db, now);
  } finally {
    db.close();
  }
  return { ...manifest, database: digestOfFile(copy) };
}

function about(db: Sql, now: Date): Omit<Manifest, 'database'> {
  const countOf = (table: string) => db.prepare(`SELECT count(*) FROM ${table}`).pluck().get() as number;
  const { n, head } = lastHead(db) ?? { n: 0, head: chainStart };
  return {
    format: 'inlet-backup/1',
    made: now.toISOString(),
    program: packageVersion,
    schema: db.pragma('user_version', { simple: true }) as number,
    counts: {
      jobs: countOf('jobs'),
      entries: countOf('entries'),
      photos: countOf('photos'),
      records: countOf('records'),
      people: countOf("shop_entries WHERE kind = 'person added'"),
    },
    head: { n, head },
  };
}

/**
 * Puts a backup into a folder that is empty or not there. Everything is looked through beside it first: the folder is
 * made whole, or not at all. Throws AppError `bad-argument` for a folder that holds anything, `bad-file` for a backup
 * that is not whole, `store-newer` for one of a newer version.
 */
export function restoreBackup(file: string, dir: string): Manifest {
  const target = resolve(dir);
  if (existsSync(target) && (!statSync(target).isDirectory() || readdirSync(target).length > 0))
    throw new AppError('bad-argument', `${dir} is not empty; a backup is restored into a folder of its own.`);
  const work = workFolderBeside(target, new Date());
  try {
    const manifest = unpackDatabase(file, `${work}/${databaseName}`);
    if (manifest.schema > ownMigrations().length)
      throw new AppError(
        'store-newer',
        `${file} was made by a newer version of this program (${manifest.program}).`,
      );
    const db = openDatabase(`${work}/${databaseName}`);
    try {
      refuseFaulty(db, `${file} is not restored`, 'bad-file');
      if (db.prepare(`SELECT count(*) FROM sessions`).pluck().get() !== 0 || hasPassphrases(db))
        throw new AppError('bad-file', `${file} is not restored: it lets people in, as no backup does.`);
      const { made, program, database: _kept, ...said } = manifest;
      const { made: _made, program: _program, ...found } = about(db, new Date(made));
      if (!isDeepStrictEqual(found, said))
        throw new AppError('bad-file', `${file} is not restored: it does not hold what its first line says.`);
      writeHeads(db, `${work}/${headsName}`);
    } finally {
      db.close();
    }
    // An empty folder gives its place to the new one, in one step (rename(2)).
    renameSync(work, target);
    syncFolder(dirname(target));
    return manifest;
  } catch (error) {
    if (isDamage(error))
      throw new AppError('bad-file', `${file} is not restored: it holds no database that can be read.`, {
        cause: error,
      });
    throw roomError(error, dir);
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

function refuseFaulty(db: Sql, what: string, code: 'logbook-broken' | 'bad-file' = 'logbook-broken'): void {
  const [first] = findings(db);
  if (first !== undefined) throw new AppError(code, `${what}: ${findingText(first)}.`);
}

function hasPassphrases(db: Sql): boolean {
  return db.prepare(`SELECT count(*) FROM secrets WHERE ${passphrases}`).pluck().get() !== 0;
}
const passphrases = "name GLOB 'passphrase:*'";

function roomError(error: unknown, file: string): unknown {
  const code = String((error as { code?: unknown }).code ?? '');
  if (code === 'EEXIST') return new AppError('bad-argument', `${file} is there already; name another file.`);
  if (['ENOENT', 'EISDIR', 'EACCES', 'EROFS'].includes(code))
    return new AppError('bad-argument', `${file} cannot be read or written.`, { cause: error });
  if (isNoRoom(error))
    return new AppError('store-full', `There is no room for ${file}, or its disk fails.`, { cause: error });
  return error;
}
