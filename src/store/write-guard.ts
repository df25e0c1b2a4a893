import { AppError } from '../errors.js';
import type { Sql } from './database.js';
import { lastHead, stageHeads, writeHeads } from './heads.js';
import { isUnconfirmed, writing } from './sql-error.js';

export interface Guard {
  /** Why nothing more is written, or undefined where all is well. */
  readonly broken: string | undefined;
  /** Nothing more is written from now on, for this reason; the first reason stays. */
  close(why: string): void;
  /** Runs `write` in one immediate transaction and anchors the newest head beside the database: both, or neither. */
  write<T>(write: (now: string) => T): T;
}

/** The one door through which the logbooks are written: refused while the store is broken or read-only. */
export function makeGuard(db: Sql, headsFile: string, clock: () => Date, broken: string | undefined): Guard {
  let fault = broken;
  let headsBehind = false;

  const refuse = () => {
    if (fault !== undefined)
      throw new AppError('logbook-broken', `Nothing more is written: ${fault}.`, { facts: { fault } });
  };

  /** A disk that could not confirm what it was given may have dropped it: only a fresh start can tell what is there. */
  const stopWhereUnconfirmed = <T>(write: () => T): T => {
    try {
      return write();
    } catch (cause) {
      if (!isUnconfirmed(cause)) throw cause;
      fault = 'the disk did not confirm what was written; start the server again, which looks at every entry';
      throw new AppError(
        'logbook-broken',
        'The disk did not confirm that this was kept. Start the server again, then send it once more: it is written once.',
        { cause, facts: { fault } },
      );
    }
  };

  const catchUp = () => {
    writeHeads(db, headsFile);
    headsBehind = false;
  };

  const writeWithHeads = <T>(write: (now: string) => T): T => {
    if (headsBehind) catchUp();
    const before = lastHead(db)?.n ?? 0;
    let putHeads: (() => void) | undefined;
    const result = db
      .transaction(() => {
        const made = write(clock().toISOString());
        if ((lastHead(db)?.n ?? 0) !== before) putHeads = stageHeads(db, headsFile);
        return made;
      })
      .immediate();
    try {
      putHeads?.();
    } catch (cause) {
      if (isUnconfirmed(cause)) throw cause;
      headsBehind = true;
      throw new AppError(
        'store-full',
        'The disk would not take heads.json beside the database. Send it once more: it is written once.',
        { cause },
      );
    }
    return result;
  };

  return {
    get broken() {
      return fault;
    },
    close(why) {
      fault ??= why;
    },
    write(write) {
      refuse();
      if (db.inTransaction) return write(clock().toISOString());
      return writing(() => stopWhereUnconfirmed(() => writeWithHeads(write)));
    },
  };
}
