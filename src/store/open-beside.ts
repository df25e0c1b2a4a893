import { existsSync } from 'node:fs';
import { AppError } from '../errors.js';
import { openDatabase, type Sql } from './database.js';
import { isDamage, isNoRoom } from './sql-error.js';

export const databaseName = 'logbook.db';
export const headsName = 'heads.json';

/** The database of a data folder for reading alone, beside whoever writes in it. Throws AppError with a sentence where it cannot be read. */
export function openBeside(dir: string): Sql {
  const file = `${dir}/${databaseName}`;
  if (!existsSync(file)) throw new AppError('bad-argument', `There is no logbook in ${dir}.`);
  let db: Sql | undefined;
  try {
    db = openDatabase(file, { readOnly: true });
    // Nothing opens a data folder without bringing it to some version first: a file of no version lost what it held.
    if (db.pragma('user_version', { simple: true }) === 0)
      throw new AppError('logbook-broken', `${file} holds no logbook: it was emptied, or never was one.`);
    return db;
  } catch (error) {
    db?.close();
    throw openingError(file, error);
  }
}

/** What keeps a data folder from opening, told to a person; anything else as it was thrown. */
export function openingError(file: string, cause: unknown): unknown {
  const code = String((cause as { code?: unknown }).code ?? '');
  if (cause instanceof AppError) return cause;
  if (isDamage(cause))
    return new AppError('logbook-broken', `${file} is not a database that can be read.`, { cause });
  if (code === 'SQLITE_ERROR')
    return new AppError('logbook-broken', `${file} is not laid out as a logbook is.`, { cause });
  if (/^SQLITE_(CANTOPEN|READONLY|PERM)/.test(code) || ['EACCES', 'EROFS', 'EISDIR', 'EPERM'].includes(code))
    return new AppError('bad-argument', `${file}, or what lies beside it, cannot be opened for writing.`, {
      cause,
    });
  if (isNoRoom(cause))
    return new AppError(
      'store-full',
      'The disk of the data folder is full or failing; nothing was changed. Make room on it, then start again.',
      { cause },
    );
  return cause;
}
