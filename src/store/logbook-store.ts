import { AppError, type Result } from '../errors.js';
import { type Link, seal } from '../logbook/chain.js';
import { type Author, type Entry, entryBodies, type NewEntry } from '../logbook/entry.js';
import { foldJob, growJob, type JobLog } from '../logbook/job-log.js';
import { putNewest } from '../put-newest.js';
import { assess } from '../steps/assess.js';
import { prepared, type Sql } from './database.js';
import { noteForm, requireKey, writtenByForm } from './form-keys.js';
import { addHead } from './heads.js';
import type { NewPhoto, PhotoStore } from './photo-store.js';
import type { NewRecord, RecordStore } from './record-store.js';
import { readEntries } from './sealed-entries.js';
import type { Guard } from './write-guard.js';

/** The times and the key of the k-th entry that a proposal brings, from 0. */
export type Place = (entry: NewEntry | undefined, k: number) => EntryPlace;
export interface EntryPlace {
  readonly at: string;
  readonly key: string;
  readonly filledIn?: string | undefined;
}

/** One form's worth of entries for one job. */
export interface Append {
  readonly job: string;
  /** The key that the form carried: 8 to 64 letters, digits, `-` or `_`. */
  readonly key: string;
  readonly by: Author;
  /** What the form said, without its tokens: the same key with other content is refused. */
  readonly content: unknown;
  /** How long ago the form was filled in, ms, where it waited for the server. */
  readonly waitedMs?: number | undefined;
  /** Asked inside the transaction with the log as it stands; `now` becomes the entries' time. */
  readonly decide: (log: JobLog, now: string) => Result<NewEntry[]>;
  readonly attach?: { readonly photos?: readonly NewPhoto[]; readonly records?: readonly NewRecord[] };
  /** Only an import gives one: the time and key that each entry had. Such keys answer no form here. */
  readonly place?: Place;
}

/** An entry that a form brought besides its first has the form's key with its number behind it. */
const placedKey = /^[A-Za-z0-9_-]{8,64}(\.\d{1,3})?$/;

export interface LogbookStore {
  /** Writes what `decide` answers, all or nothing. A form sent twice gets the entries of the first time. */
  append(command: Append): Result<readonly Entry[]>;
  /** Like `append`, with the forms that come in the same turn: one confirmation of the disk answers them all. */
  appendTogether(command: Append): Promise<Result<readonly Entry[]>>;
  /** What this form made when it came before; undefined where it is new. Throws `form-key-reused` for other content. */
  writtenBefore(form: Pick<Append, 'job' | 'key' | 'by' | 'content'>): readonly Entry[] | undefined;
  entries(job: string): readonly Entry[];
  /** The job's log, folded once for each newest entry. Throws `not-found` for a job that was never opened. */
  log(job: string): JobLog;
}

/** A folded log with all that is computed from it takes some megabytes, and a few milliseconds to make: those at work are kept, more than the twenty of a busy shop. */
const logsKept = 24;

export function makeLogbookStore(
  db: Sql,
  guard: Guard,
  keep: { photos: PhotoStore; records: RecordStore; putLine: (job: string, log: JobLog) => void },
): LogbookStore {
  const cache = new Map<string, JobLog>();
  // Of those: what is committed, and nothing was written behind it since.
  const settled = new WeakSet<JobLog>();

  /** As the one that was asked for last; who was not asked for longest goes. */
  const kept = (job: string, log: JobLog): JobLog => {
    putNewest(cache, job, log, logsKept);
    return log;
  };

  const log = (job: string): JobLog => {
    const cached = cache.get(job);
    if (cached !== undefined && settled.has(cached)) return kept(job, cached);
    const newest = newestLog(job, cached);
    if (!db.inTransaction) settled.add(newest);
    return kept(job, newest);
  };

  const newestLog = (job: string, cached: JobLog | undefined): JobLog => {
    const last = lastDigest(db, job);
    if (cached !== undefined && cached.entries.at(-1)?.digest === last) return cached;
    if (last === undefined && !jobExists(db, job)) throw new AppError('not-found', `There is no job ${job}.`);
    return foldJob(readEntries(db, job));
  };

  /** After a commit: the log that these entries ended is the one in the database, if nobody has written behind it. */
  const settle = (job: string, written: Result<readonly Entry[]>): void => {
    const log = cache.get(job);
    const last = written.ok ? written.value.at(-1) : undefined;
    if (log !== undefined && last !== undefined && log.entries.at(-1) === last) settled.add(log);
  };

  const writtenBefore: LogbookStore['writtenBefore'] = (form) => {
    const used = writtenByForm(db, { ...form, chain: form.job });
    if (used === undefined) {
      refuseTaken(db, form.job, form.key);
      return undefined;
    }
    return log(form.job).entries.filter((e) => e.seq >= used.first && e.seq <= used.last);
  };

  const appendIn =
    (command: Append) =>
    (now: string): Result<readonly Entry[]> => {
      if (command.place === undefined) requireKey(command.key);
      else if (!placedKey.test(command.key)) throw new AppError('bad-file', 'an entry has no proper key');
      const earlier = command.place === undefined ? writtenBefore(command) : undefined;
      if (earlier !== undefined) return { ok: true, value: earlier };
      const standing = log(command.job);
      const place: Place =
        command.place ??
        ((_entry, k) => ({
          at: now,
          key: k === 0 ? command.key : `${command.key}.${k + 1}`,
          filledIn: filledIn(now, command.waitedMs),
        }));
      const decided = command.decide(standing, place(undefined, 0).at);
      if (!decided.ok) return decided;
      for (const photo of command.attach?.photos ?? []) keep.photos.put(photo);
      for (const record of command.attach?.records ?? []) keep.records.put(record);
      settled.delete(standing);
      const entries = writeEntries(db, command, standing.entries.at(-1), decided.value, place);
      const [first, last] = [entries[0], entries.at(-1)];
      if (first === undefined || last === undefined) return { ok: true, value: entries };
      // Where the transaction is taken back, the newest digest tells that this log is not the one in the database.
      const grown = growJob(standing, entries);
      assess(grown, standing);
      kept(command.job, grown);
      keep.putLine(command.job, grown);
      if (command.place === undefined)
        noteForm(db, { ...command, chain: command.job }, { first: first.seq, last: last.seq }, now);
      return { ok: true, value: entries };
    };

  return {
    append: (command) => guard.write(appendIn(command)),
    async appendTogether(command) {
      const written = await guard.writeTogether(appendIn(command));
      settle(command.job, written);
      return written;
    },
    writtenBefore,
    log,
    entries: (job) => log(job).entries,
  };
}

function writeEntries(
  db: Sql,
  command: Append,
  after: Link | undefined,
  proposals: readonly NewEntry[],
  place: Place,
): Entry[] {
  const insert = prepared(
    db,
    `INSERT INTO entries (job, seq, at, filled_in, by_id, by_name, kind, subject, body, form_key, previous, digest)
     VALUES (@job, @seq, @at, @filledIn, @byId, @byName, @kind, @subject, @body, @key, @previous, @digest)`,
  );
  let last = after;
  return proposals.map((proposal, k) => {
    const body = entryBodies[proposal.kind].parse(proposal.body);
    const { at, key, filledIn } = place(proposal, k);
    const entry = seal(
      {
        job: command.job,
        at,
        ...(filledIn === undefined ? {} : { filledIn }),
        by: { id: command.by.id, name: command.by.name },
        kind: proposal.kind,
        subject: proposal.subject,
        body: JSON.parse(JSON.stringify(body)),
        key,
      },
      last,
    );
    insert.run({
      filledIn: null,
      ...entry,
      byId: entry.by.id,
      byName: entry.by.name,
      body: JSON.stringify(entry.body),
    });
    addHead(db, command.job, entry.seq, entry.digest);
    last = entry;
    return entry as unknown as Entry;
  });
}

/** A form that was under way for less is as good as sent at once; one that waited for longer says nothing to be relied on. */
const waits = { fromMs: 60_000, toMs: 90 * 86_400_000 };

function filledIn(now: string, waitedMs: number | undefined): string | undefined {
  if (waitedMs === undefined || !(waitedMs >= waits.fromMs && waitedMs <= waits.toMs)) return undefined;
  return new Date(Date.parse(now) - waitedMs).toISOString();
}

/** A key is a person's own: where somebody else's wrote here, nothing is answered, nor written. */
function refuseTaken(db: Sql, job: string, key: string): void {
  if (prepared(db, 'SELECT 1 FROM entries WHERE job = ? AND form_key = ?').get(job, key) !== undefined)
    throw new AppError('form-key-reused');
}

/** The newest digest, not the newest number: a number may have been taken back with its transaction. */
function lastDigest(db: Sql, job: string): string | undefined {
  const row = prepared(db, 'SELECT digest FROM entries WHERE job = ? ORDER BY seq DESC LIMIT 1').get(job);
  return (row as { digest: string } | undefined)?.digest;
}

function jobExists(db: Sql, job: string): boolean {
  return db.prepare('SELECT 1 FROM jobs WHERE number = ?').get(job) !== undefined;
}
