import { AppError, type Result } from '../errors.js';
import type { Author, Entry, NewEntry } from '../logbook/entry.js';
import type { JobLog } from '../logbook/job-log.js';
import { prepared, type Sql } from './database.js';
import type { LogbookStore, Place } from './logbook-store.js';
import type { ShopStore } from './shop-store.js';
import type { Guard } from './write-guard.js';

interface OpenJob {
  readonly by: Author;
  readonly key: string;
  readonly content: unknown;
  /** The first entries of the job, usually `job described`. */
  readonly decide: (log: JobLog, now: string) => Result<NewEntry[]>;
  /** Only an import brings its own number, times and keys. */
  readonly number?: string;
  readonly place?: Place;
}

export interface JobStore {
  /** Opens a job under the next number of its year (`2026-014`) with its first entries, all or nothing. */
  open(command: OpenJob): Result<{ number: string; entries: readonly Entry[] }>;
  /** The numbers of the jobs whose first entry was written at this very time. */
  openedAt(at: string): readonly string[];
  has(number: string): boolean;
}

export function makeJobStore(db: Sql, guard: Guard, logbook: LogbookStore, shop: ShopStore): JobStore {
  const has = (number: string) =>
    prepared(db, 'SELECT 1 FROM jobs WHERE number = ?').get(number) !== undefined;

  // The newest number of a year, as far as this process gave it; one that went with its transaction is told by its job.
  const newest = new Map<string, number>();
  const nextNumber = (year: string): string => {
    const given = newest.get(year);
    const last = given !== undefined && has(numberOf(year, given)) ? given : lastNumber(db, year);
    newest.set(year, last + 1);
    return numberOf(year, last + 1);
  };

  const open = (command: OpenJob): Result<{ number: string; entries: readonly Entry[] }> => {
    let refused: Result<never> | undefined;
    try {
      return guard.write((now) => {
        const at = command.place?.(undefined, 0).at ?? now;
        const earlier = command.place === undefined ? jobOfKey(db, command) : undefined;
        const number = earlier ?? command.number ?? nextNumber(at.slice(0, 4));
        // One that a file brings may be higher than all before it.
        if (command.number !== undefined) newest.clear();
        if (earlier === undefined) {
          if (has(number)) throw new AppError('bad-file', `There is a job ${number} already.`);
          db.prepare('INSERT INTO jobs (number, opened_at) VALUES (?, ?)').run(number, at);
          shop.append({
            by: command.by,
            at,
            decide: () => ({
              ok: true,
              value: [{ kind: 'job opened', subject: number, body: { job: number } }],
            }),
          });
        }
        const { by, key, content, decide } = command;
        const written = logbook.append({
          job: number,
          by,
          key,
          content,
          decide,
          ...(command.place === undefined ? {} : { place: command.place }),
        });
        if (!written.ok) {
          refused = written;
          throw new Refused();
        }
        return { ok: true as const, value: { number, entries: written.value } };
      });
    } catch (error) {
      if (error instanceof Refused && refused !== undefined) return refused;
      throw error;
    }
  };

  const openedAt = (at: string) =>
    db.prepare('SELECT number FROM jobs WHERE opened_at = ?').pluck().all(at) as string[];

  return { open, openedAt, has };
}

/** Takes the transaction back when the first entries are refused: no number is spent on a job that was not opened. */
class Refused extends Error {}

function jobOfKey(db: Sql, { by, key }: OpenJob): string | undefined {
  const used = db.prepare('SELECT job FROM form_keys WHERE person = ? AND form_key = ?').get(by.id, key);
  return (used as { job: string } | undefined)?.job;
}

const numberOf = (year: string, k: number) => `${year}-${String(k).padStart(3, '0')}`;

/** Goes through all numbers of a year, 0 where it has none. */
function lastNumber(db: Sql, year: string): number {
  const { last } = db
    .prepare(
      `SELECT coalesce(max(CAST(substr(number, 6) AS INTEGER)), 0) AS last
       FROM jobs WHERE number > @year || '-' AND number < @year || '.' AND number GLOB @year || '-[0-9][0-9][0-9]*' AND substr(number, 6) NOT GLOB '*[^0-9]*'`,
    )
    .get({ year }) as { last: number };
  return last;
}
