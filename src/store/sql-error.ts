import { AppError } from '../errors.js';

/** Runs a write and turns what the disk and the schema refuse into the errors that people are told about. */
export function writing<T>(write: () => T): T {
  try {
    return write();
  } catch (error) {
    const code = (error as { code?: unknown }).code;
    if (typeof code !== 'string' || error instanceof AppError) throw error;
    if (code === 'SQLITE_FULL' || code.startsWith('SQLITE_IOERR') || code === 'ENOSPC')
      throw new AppError('store-full', undefined, { cause: error, facts: { code } });
    if (code === 'SQLITE_CORRUPT' || code === 'SQLITE_NOTADB')
      throw new AppError('logbook-broken', undefined, { cause: error, facts: { code } });
    throw error;
  }
}
