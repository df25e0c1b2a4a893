import { AppError } from '../errors.js';
import type { Sql } from './database.js';
import { lastHead, writeHeads } from './heads.js';
import { writing } from './sql-error.js';

export interface Guard {
  /** Why nothing more is written, or undefined where all is well. */
  readonly broken: string | undefined;
  /** Runs `write` in one immediate transaction, then anchors the newest head beside the database. */
  write<T>(write: (now: string) => T): T;
}

/** The one door through which the logbooks are written: refused while the store is broken or read-only. */
export function makeGuard(db: Sql, headsFile: string, clock: () => Date, broken: string | undefined): Guard {
  let fault = broken;
  const refuse = () => {
    if (fault !== undefined)
      throw new AppError('logbook-broken', `Nothing more is written: ${fault}.`, { facts: { fault } });
  };
  return {
    get broken() {
      return fault;
    },
    write(write) {
      refuse();
      if (db.inTransaction) return write(clock().toISOString());
      return writing(() => {
        const before = lastHead(db)?.n ?? 0;
        const result = db.transaction(() => write(clock().toISOString())).immediate();
        if ((lastHead(db)?.n ?? 0) !== before) {
          try {
            writeHeads(db, headsFile);
          } catch (cause) {
            // The entry is in, its anchor is not: nothing may be added until the two agree again at the next start.
            fault = 'heads.json beside the database could not be written';
            throw new AppError('store-full', `The entry was kept, but ${fault}; start the server again.`, {
              cause,
            });
          }
        }
        return result;
      });
    },
  };
}
