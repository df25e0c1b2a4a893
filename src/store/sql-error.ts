import { AppError } from '../errors.js';

/** Whether a disk was full, failing or closed for writing, by the system's answer or by SQLite's. */
export function isNoRoom(error: unknown): boolean {
  const code = codeOf(error);
  return noRoom.has(code) || code.startsWith('SQLITE_IOERR');
}
const noRoom = new Set(['SQLITE_FULL', 'ENOSPC', 'EDQUOT', 'EFBIG', 'EIO', 'EROFS']);

function codeOf(error: unknown): string {
  return String((error as { code?: unknown }).code ?? '');
}

/** Runs a write and turns what the disk and the schema refuse into the errors that people are told about. */
export function writing<T>(write: () => T): T {
  try {
    return write();
  } catch (error) {
    if (error instanceof AppError) throw error;
    const told = { cause: error, facts: { code: codeOf(error) } };
    if (isNoRoom(error)) throw new AppError('store-full', undefined, told);
    if (isDamage(error)) throw new AppError('logbook-broken', undefined, told);
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
  return /^SQLITE_(CORRUPT|NOTADB)/.test(codeOf(error));
}
