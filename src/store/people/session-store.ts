import { randomBytes } from 'node:crypto';
import { sha256Of } from '../../logbook/sha256.js';
import { prepared, type Sql } from '../database.js';
import { whereThereIsRoom } from '../sql-error.js';
import type { Guard } from '../write-guard.js';

/** One device that is signed in. `handle` names it on a page; it opens nothing. */
interface SessionRow {
  readonly handle: string;
  readonly person: string;
  readonly agent: string;
  readonly madeMs: number;
  readonly seenMs: number;
}

export interface SessionStore {
  /** The session's data, or undefined where it does not exist, was idle too long or is too old. Reads on a full disk too. */
  get(id: string): Record<string, unknown> | undefined;
  /** On a full disk only a new session of a person is refused (`store-full`): pages are read on with what was kept. */
  set(id: string, data: Record<string, unknown>, about: { person: string; agent: string }): void;
  /** Ends a session for good: a request that is still under way does not bring it back. */
  destroy(id: string): void;
  ofPerson(person: string): readonly SessionRow[];
  /** How many devices each person is signed in on. */
  counts(): ReadonlyMap<string, number>;
  endByHandle(person: string, handle: string): boolean;
  /** Ends all of a person's sessions, but for the one with this id. */
  endAll(person: string, exceptId?: string): number;
  handleOf(id: string): string | undefined;
}

type KeptSession = SessionRow & { readonly data: string };
const columns = 'handle, person, agent, made_ms AS madeMs, seen_ms AS seenMs';

/** So many sessions are kept at hand, of some 500 bytes each. */
const knownAtMost = 1_000;

const hourMs = 3_600_000;
/** A session ends after this long without use, and after this long in any case; one of nobody much sooner. */
const sessionLimits = { idleMs: 12 * hourMs, absoluteMs: 7 * 24 * hourMs, nobodyMs: 2 * hourMs };

/** Sessions of nobody, as every page with a form opens one: beyond these the oldest go, so that strangers do not fill the disk. */
const nobodiesAtMost = 20_000;

/** How long an ended session is remembered: longer than any request runs. */
const rememberedMs = hourMs;

/** Only a digest of the session's id is kept: who reads the file cannot sign in with it. */
export function makeSessionStore(db: Sql, guard: Pick<Guard, 'writeAside'>, clock: () => Date): SessionStore {
  // As they stand in the database: every request asks for its own, a form twice. Whatever writes sessions forgets them all.
  const known = new Map<string, KeptSession>();
  const writeAside: typeof guard.writeAside = (write) => {
    known.clear();
    return guard.writeAside(write);
  };
  const rowOf = (digest: string): KeptSession | undefined => {
    const kept = known.get(digest);
    if (kept !== undefined) return kept;
    const row = prepared(db, `SELECT ${columns}, data FROM sessions WHERE id_digest = ?`).get(digest) as
      | KeptSession
      | undefined;
    if (row === undefined || db.inTransaction) return row;
    if (known.size >= knownAtMost) known.clear();
    known.set(digest, row);
    return row;
  };
  const writeWhereThereIsRoom = (write: () => unknown) => whereThereIsRoom(() => writeAside(write));
  const now = () => clock().getTime();
  const expired = (row: SessionRow) =>
    now() - row.seenMs > (row.person === '' ? sessionLimits.nobodyMs : sessionLimits.idleMs) ||
    now() - row.madeMs > sessionLimits.absoluteMs;
  const ended = new Map<string, number>();
  const end = (condition: string, ...values: readonly (string | null)[]): number => {
    const rows = writeAside(() =>
      db
        .prepare(`DELETE FROM sessions WHERE ${condition} RETURNING id_digest`)
        .pluck()
        .all(...values),
    ) as string[];
    for (const [digest, at] of ended) if (now() - at > rememberedMs) ended.delete(digest);
    for (const digest of rows) ended.set(digest, now());
    return rows.length;
  };

  return {
    get(id) {
      const digest = sha256Of(id);
      const row = rowOf(digest);
      if (row === undefined) return undefined;
      if (expired(row)) {
        writeWhereThereIsRoom(() => db.prepare('DELETE FROM sessions WHERE id_digest = ?').run(digest));
        return undefined;
      }
      if (now() - row.seenMs > 60_000)
        writeWhereThereIsRoom(() =>
          db.prepare('UPDATE sessions SET seen_ms = ? WHERE id_digest = ?').run(now(), digest),
        );
      return JSON.parse(row.data) as Record<string, unknown>;
    },
    set(id, data, about) {
      const digest = sha256Of(id);
      if (ended.has(digest)) return;
      const isNew = rowOf(digest) === undefined;
      const write = () => {
        if (isNew) sweep();
        db.prepare(
          `INSERT INTO sessions (id_digest, handle, person, data, agent, made_ms, seen_ms)
         VALUES (@id, @handle, @person, @data, @agent, @now, @now)
         ON CONFLICT (id_digest) DO UPDATE SET person = excluded.person, agent = excluded.agent, data = excluded.data, seen_ms = excluded.seen_ms`,
        ).run({
          id: digest,
          handle: randomBytes(9).toString('base64url'),
          person: about.person,
          agent: about.agent.slice(0, 200),
          data: JSON.stringify(data),
          now: now(),
        });
      };
      if (isNew && about.person !== '') writeAside(write);
      else writeWhereThereIsRoom(write);
    },
    destroy(id) {
      end('id_digest = ?', sha256Of(id));
    },
    ofPerson(person) {
      const rows = db
        .prepare(`SELECT ${columns} FROM sessions WHERE person = ? ORDER BY seen_ms DESC`)
        .all(person) as SessionRow[];
      return rows.filter((row) => !expired(row));
    },
    counts() {
      const counts = new Map<string, number>();
      const rows = prepared(db, `SELECT ${columns} FROM sessions WHERE person <> ''`).all() as SessionRow[];
      for (const row of rows) if (!expired(row)) counts.set(row.person, (counts.get(row.person) ?? 0) + 1);
      return counts;
    },
    endByHandle(person, handle) {
      return end('person = ? AND handle = ?', person, handle) === 1;
    },
    endAll(person, exceptId) {
      return end(
        'person = ? AND id_digest IS NOT ?',
        person,
        exceptId === undefined ? null : sha256Of(exceptId),
      );
    },
    handleOf(id) {
      return rowOf(sha256Of(id))?.handle;
    },
  };

  function sweep(): void {
    db.prepare("DELETE FROM sessions WHERE made_ms < ? OR seen_ms < ? OR (person = '' AND seen_ms < ?)").run(
      now() - sessionLimits.absoluteMs,
      now() - sessionLimits.idleMs,
      now() - sessionLimits.nobodyMs,
    );
    prepared(
      db,
      `DELETE FROM sessions WHERE person = '' AND seen_ms <
         (SELECT seen_ms FROM sessions WHERE person = '' ORDER BY seen_ms DESC LIMIT 1 OFFSET ${nobodiesAtMost})`,
    ).run();
  }
}
