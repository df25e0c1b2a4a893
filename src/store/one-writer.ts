import Database from 'better-sqlite3';
import { AppError } from '../errors.js';

/**
 * Holds a data folder for this process alone; a second writer is refused with a clear sentence. The lock is the
 * operating system's, held through a small SQLite file, so that a killed process leaves nothing behind. Another
 * fault (a full disk, a folder in its place) is thrown as it came.
 */
export function holdFolder(dir: string): { release(): void } {
  const db = new Database(`${dir}/writer.lock`, { timeout: 200 });
  try {
    db.exec('BEGIN EXCLUSIVE');
  } catch (cause) {
    db.close();
    if (!String((cause as { code?: unknown }).code).startsWith('SQLITE_BUSY')) throw cause;
    throw new AppError('store-in-use', `Another process already writes in ${dir}; stop it first.`, { cause });
  }
  return {
    release() {
      db.close();
    },
  };
}
