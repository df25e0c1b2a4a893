import { AppError } from '../errors.js';

/** What the system answers where a disk is full, failing or closed for writing. */
const noRoom = new Set(['SQLITE_FULL', 'ENOSPC', 'EDQUOT', 'EFBIG', 'EIO', 'EROFS']);

/** Runs a write and turns what the disk and the schema refuse into the errors that people are told about. */
export function writing<T>(write: () => T): T {
  try {
    return write();
  } catch (error) {
    const code = (error as { code?: unknown }).code;
    if (typeof code !== 'string' || error instanceof AppError) throw error;
    if (noRoom.has(code) || code.startsWith('SQLITE_IOERR'))
      throw new AppError('store-full', undefined, { cause: error, facts: { code } });
    if (code === 'SQLITE_CORRUPT' || code === 'SQLITE_NOTADB')
      throw new AppError('logbook-broken', undefined, { cause: error, facts: { code } });
    throw error;
  }
}

/** Whether an fsync failed, of SQLite or of our own: what was written before it may be on the disk or not. */
export function isUnconfirmed(error: unknown): boolean {
  const { code, syscall } = error as { code?: unknown; syscall?: unknown };
  return syscall === 'fsync' || syscall === 'fdatasync' || /^SQLITE_IOERR_(DIR_)?FSYNC$/.test(String(code));
}

/** Does without a write that the disk refuses. */
export function whereThereIsRoom(write: () => unknown): void {
  try {
    writing(write);
  } catch (error) {
    if (!(error instanceof AppError && (error.code === 'store-full' || error.code === 'logbook-broken')))
      throw error;
  }
}

/** Whether reading met a page of the database that is not as it was written. */
export function isDamage(error: unknown): boolean {
  const code = String((error as { code?: unknown }).code ?? '');
  return /^SQLITE_(CORRUPT|NOTADB)/.test(code);
}
