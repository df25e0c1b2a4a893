import { prepared, type Sql } from '../database.js';
import { whereThereIsRoom } from '../sql-error.js';
import type { Guard } from '../write-guard.js';

/** Tries that were refused: sign-ins under a person's name, and passphrases that were asked for once more. */
export interface Refused {
  readonly signIns: number;
  readonly again: number;
  /** The newest of them. */
  readonly lastMs: number | undefined;
}

/** What is known of a person's coming in. */
export interface AccessRow {
  readonly signedInMs: number | undefined;
  /** Before the newest sign-in. */
  readonly beforeMs: number | undefined;
  /** Since the newest sign-in. */
  readonly refused: Refused;
  /** Before the newest sign-in, as it was told then. */
  readonly told: Refused;
  /** The newest entry of the shop's logbook that the person took note of; 0 for none. */
  readonly notedSeq: number;
}

/** None of these writes is worth a refusal: on a full disk they are left out. */
export interface AccessStore {
  of(person: string): AccessRow;
  signedIn(person: string): void;
  refused(person: string, what: 'signIn' | 'again'): void;
  noted(person: string, seq: number): void;
  /** When an owner's link was opened last; undefined for never. */
  linkOpened(tokenDigest: string): number | undefined;
  /** It was opened just now. */
  opened(tokenDigest: string): void;
}

const nothing = { refused: 0, again: 0, refusedMs: null, told: 0, toldAgain: 0, toldMs: null };
type Row = { [K in keyof typeof nothing]: number | null } & {
  signedInMs: number | null;
  beforeMs: number | null;
  notedSeq: number;
};

export function makeAccessStore(db: Sql, guard: Pick<Guard, 'writeAside'>, clock: () => Date): AccessStore {
  const now = () => clock().getTime();
  const change = (sql: string, values: Record<string, string | number>) =>
    whereThereIsRoom(() =>
      guard.writeAside(() => {
        prepared(db, 'INSERT INTO access (person) VALUES (?) ON CONFLICT DO NOTHING').run(values.person);
        prepared(db, `UPDATE access SET ${sql} WHERE person = @person`).run(values);
      }),
    );
  const of = (person: string): AccessRow => {
    const row = (prepared(
      db,
      `SELECT signed_in_ms AS signedInMs, before_ms AS beforeMs, refused, refused_again AS again, refused_ms AS refusedMs,
         told_refused AS told, told_refused_again AS toldAgain, told_refused_ms AS toldMs, noted_seq AS notedSeq
       FROM access WHERE person = ?`,
    ).get(person) ?? { ...nothing, signedInMs: null, beforeMs: null, notedSeq: 0 }) as Row;
    return {
      signedInMs: row.signedInMs ?? undefined,
      beforeMs: row.beforeMs ?? undefined,
      refused: { signIns: row.refused ?? 0, again: row.again ?? 0, lastMs: row.refusedMs ?? undefined },
      told: { signIns: row.told ?? 0, again: row.toldAgain ?? 0, lastMs: row.toldMs ?? undefined },
      notedSeq: row.notedSeq,
    };
  };
  const signedIn = (person: string) =>
    change(
      `before_ms = signed_in_ms, signed_in_ms = @now, told_refused = refused, told_refused_again = refused_again,
         told_refused_ms = refused_ms, refused = 0, refused_again = 0, refused_ms = NULL`,
      { person, now: now() },
    );
  return {
    of,
    signedIn,
    refused(person, what) {
      const column = what === 'signIn' ? 'refused' : 'refused_again';
      change(`${column} = ${column} + 1, refused_ms = @now`, { person, now: now() });
    },
    noted(person, seq) {
      change('noted_seq = max(noted_seq, @seq)', { person, seq });
    },
    // A link's row is named so that it is no person's.
    linkOpened: (tokenDigest) => of(`link:${tokenDigest}`).signedInMs,
    opened: (tokenDigest) => signedIn(`link:${tokenDigest}`),
  };
}
