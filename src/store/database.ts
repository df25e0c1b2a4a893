import Database from 'better-sqlite3';
import { AppError } from '../errors.js';

export type Sql = Database.Database;

/**
 * Opens the database file with every guard set, and read back: a pragma that did not take is found here, not after a
 * power cut. In WAL, `synchronous` is only what it says once a first statement has run.
 */
export function openDatabase(file: string, how: { readOnly?: boolean } = {}): Sql {
  const db = new Database(file, how.readOnly ? { readonly: true } : {});
  try {
    db.pragma('busy_timeout = 5000');
    if (!how.readOnly) db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    db.pragma('recursive_triggers = ON');
    db.pragma('trusted_schema = OFF');
    db.pragma('cell_size_check = ON');
    db.pragma('journal_size_limit = 16777216');
    // 4 MB: this build's own 16 are no quicker at 100,000 jobs, since the system keeps the file's pages as well.
    db.pragma('cache_size = -4000');
    // What a savepoint would take back is kept in memory: else a group of forms writes it to a file in /var/tmp, page by page. Who only
    // reads has no savepoints, but goes through whole tables in an order of their own, which may take that file.
    if (!how.readOnly) db.pragma('temp_store = MEMORY');
    db.prepare('SELECT count(*) FROM sqlite_schema').get();
    for (const [name, wanted] of Object.entries(guards)) {
      const found = db.pragma(name, { simple: true });
      if (found !== wanted) {
        throw new AppError('unexpected', `SQLite keeps ${name} at ${String(found)}; it must be ${wanted}.`);
      }
    }
    return db;
  } catch (error) {
    db.close();
    throw error;
  }
}

const kept = new WeakMap<Sql, Map<string, Database.Statement>>();

/** The statement for a text, prepared once for each database: for what every request asks. Do not `pluck` or `iterate` it. */
export function prepared(db: Sql, text: string): Database.Statement {
  let statements = kept.get(db);
  if (statements === undefined) {
    statements = new Map();
    kept.set(db, statements);
  }
  let statement = statements.get(text);
  if (statement === undefined) {
    statement = db.prepare(text);
    statements.set(text, statement);
  }
  return statement;
}

/** What each guard must read back as (synchronous 2 is FULL). */
export const guards: Readonly<Record<string, number>> = {
  synchronous: 2,
  foreign_keys: 1,
  recursive_triggers: 1,
  trusted_schema: 0,
  cell_size_check: 1,
};
