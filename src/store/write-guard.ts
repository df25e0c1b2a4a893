import { AppError } from '../errors.js';
import type { Sql } from './database.js';
import { openHeads } from './heads-file.js';
import { isUnconfirmed, writing } from './sql-error.js';

export interface Guard {
  /** Why nothing more is written, or undefined where all is well. */
  readonly broken: string | undefined;
  /** Nothing more is written from now on, for this reason; the first reason stays. */
  close(why: string): void;
  /** Runs `write` in one immediate transaction and anchors the newest head beside the database before it answers. */
  write<T>(write: (now: string) => T): T;
  /**
   * Runs `write` as `write` does, in one transaction with all that is asked for in the same turn: one after the other, each in a
   * savepoint of its own, so that what throws is taken back alone. Answers when the disk has all of it; a transaction that fails, fails for every one.
   */
  writeTogether<T>(write: (now: string) => T): Promise<T>;
  /**
   * Runs a write of what is no entry: sessions and access. It is not refused where the logbook is closed, since people must still sign in,
   * out, and read; but a disk that does not confirm it closes the logbook all the same.
   */
  writeAside<T>(write: () => T): T;
}

/** So many writes at most share a transaction: the first of them waits for the last. */
const togetherAtMost = 64;

interface Waiting {
  readonly run: (now: string) => () => void;
  readonly fail: (error: unknown) => void;
}

/** The one door through which the logbooks are written: refused while the store is broken or read-only. */
export function makeGuard(db: Sql, headsFile: string, clock: () => Date, broken: string | undefined): Guard {
  const heads = openHeads(db, headsFile);
  const waiting: Waiting[] = [];
  let fault = broken;
  let headsBehind = false;

  const now = () => clock().toISOString();

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
      fault ??=
        'the disk did not confirm what was written; start the server again, which looks at every entry';
      throw new AppError(
        'logbook-broken',
        'The disk did not confirm that this was kept. Start the server again, then send it once more: it is written once.',
        { cause, facts: { fault } },
      );
    }
  };

  const guarded = <T>(write: () => T): T => writing(() => stopWhereUnconfirmed(write));

  const writeWithHeads = <T>(write: (now: string) => T): T => {
    if (headsBehind) heads.renew();
    headsBehind = false;
    const { made, ahead } = db.transaction(() => ({ made: write(now()), ahead: heads.ahead() })).immediate();
    try {
      heads.follow(ahead);
    } catch (cause) {
      if (isUnconfirmed(cause)) throw cause;
      headsBehind = true;
      throw new AppError(
        'store-full',
        'The disk would not take heads.json beside the database. Send it once more: it is written once.',
        { cause },
      );
    }
    return made;
  };

  const write = <T>(write: (now: string) => T): T => {
    refuse();
    return db.inTransaction ? write(now()) : guarded(() => writeWithHeads(write));
  };

  /** One of several in their transaction: how to answer it once that is on the disk. */
  const attempt = ({ run, fail }: Waiting): (() => void) => {
    try {
      return guarded(() => db.transaction(() => run(now()))());
    } catch (error) {
      // Taken back whole, or not to be trusted any more: then nothing of the others stays either.
      if (!db.inTransaction || fault !== undefined) throw error;
      return () => fail(error);
    }
  };

  const writeWaiting = () => {
    const those = waiting.splice(0, togetherAtMost);
    if (waiting.length > 0) setImmediate(writeWaiting);
    let answers: (() => void)[];
    try {
      answers = write(() => those.map(attempt));
    } catch (error) {
      answers = those.map(
        ({ fail }) =>
          () =>
            fail(error),
      );
    }
    for (const answer of answers) answer();
  };

  return {
    get broken() {
      return fault;
    },
    close(why) {
      fault ??= why;
    },
    write,
    writeTogether: (write) =>
      new Promise((resolve, fail) => {
        const run = (now: string) => {
          const made = write(now);
          return () => resolve(made);
        };
        if (waiting.push({ run, fail }) === 1) setImmediate(writeWaiting);
      }),
    writeAside: guarded,
  };
}
