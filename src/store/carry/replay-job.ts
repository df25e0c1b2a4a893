import { AppError, type Result } from '../../errors.js';
import { seal } from '../../logbook/chain.js';
import type { Author, Entry, NewEntry } from '../../logbook/entry.js';
import { foldJob, type JobLog } from '../../logbook/job-log.js';
import { accept } from '../../steps/accept.js';
import type { Asker } from '../../steps/proposal.js';
import type { EntryPlace, Place } from '../logbook-store.js';
import type { JobFile } from './job-file.js';

/** One entry of a file on its way through the gate, and what the gate makes of it. */
interface Replayed {
  readonly key: string;
  readonly place: Place;
  readonly by: Author;
  readonly entry: NewEntry;
  readonly decide: (log: JobLog) => Result<NewEntry[]>;
}

/**
 * Sends a file's entries through the gate in their order; one that is sealed is taken as it stands, so that what an earlier version
 * let in is not lost, and judged by today's rules; where this version would keep less of it than was sealed, it is refused. `write` puts each where it belongs and answers with what was
 * written; an entry that the one before it brought along (the defect of a failed reading) is written once, in the words of
 * the file. The first `held` entries are there already. Throws AppError `bad-file` with the number of the entry that is refused, and why.
 */
export function replay(
  file: JobFile,
  write: (step: Replayed) => Result<readonly Entry[]>,
  held = 0,
): Entry[] {
  const people: Asker[] = file.people.map(({ id, name, roles }) => ({ id, name, roles }));
  const sealed = isSealed(file);
  const written: Entry[] = [];
  let brought: readonly Entry[] = [];
  file.entries.forEach((entry, k) => {
    if (k < held) return;
    const proposal = proposalAt(file, k) as NewEntry;
    if (isOf(brought[0], proposal)) {
      brought = brought.slice(1);
      return;
    }
    const roles = people.find((p) => p.id === entry.by.id)?.roles ?? [];
    const by = { id: entry.by.id, name: entry.by.name };
    const own = placeIn(file, k);
    const answer = write({
      key: own.key,
      place: (another, more) => {
        if (more === 0) return own;
        if (isOf(another, proposalAt(file, k + more))) return placeIn(file, k + more);
        return { at: own.at, key: `${own.key}.${more + 1}` };
      },
      by,
      entry: proposal,
      decide: (log) => {
        const accepted = accept(log, proposal, { by: { ...by, roles }, people, sealed });
        if (!accepted.ok) return accepted;
        return {
          ok: true,
          value: accepted.value.map((mine, more) => {
            const theirs = more === 0 ? undefined : proposalAt(file, k + more);
            return theirs !== undefined && isOf(mine, theirs) ? theirs : mine;
          }),
        };
      },
    });
    if (!answer.ok) {
      const why = answer.issues
        .map(({ field, message }) => (field ? `${field}: ${message}` : message))
        .join('; ');
      throw new AppError(
        'bad-file',
        `entries.${k} (${proposal.kind}, ${proposal.subject}) is refused: ${why}`,
      );
    }
    if (sealed && answer.value[0]?.digest !== entry.digest)
      throw new AppError(
        'bad-file',
        `entries.${k} (${proposal.kind}, ${proposal.subject}): holds something that this version does not know, and would lose it. Bring the job in with the version that sealed it, or a newer one`,
      );
    written.push(...answer.value);
    brought = answer.value.slice(1);
  });
  return written;
}

/** Whether every entry comes as its logbook sealed it; that the digests hold was looked at when the file was read. */
function isSealed({ job, entries }: JobFile): boolean {
  return job !== undefined && entries.every((entry) => entry.digest !== undefined && entry.job === job);
}

function proposalAt(file: JobFile, k: number): NewEntry | undefined {
  const entry = file.entries[k];
  return entry && ({ kind: entry.kind, subject: entry.subject, body: entry.body } as NewEntry);
}

function isOf(entry: NewEntry | Entry | undefined, other: NewEntry | undefined): boolean {
  return entry !== undefined && entry.kind === other?.kind && entry.subject === other.subject;
}

/** Where an entry of the file stood: its time, and its key or one made of its number. */
function placeIn(file: JobFile, k: number): EntryPlace {
  const entry = file.entries[k] as JobFile['entries'][number];
  return {
    at: new Date(entry.at).toISOString(),
    ...(entry.filledIn === undefined ? {} : { filledIn: new Date(entry.filledIn).toISOString() }),
    key: entry.key ?? `entry-${String(k + 1).padStart(5, '0')}`,
  };
}

/** A file's logbook without a store: for a record made straight from a file. */
export function replayInMemory(file: JobFile, number: string): Entry[] {
  const entries: Entry[] = [];
  return replay(file, ({ place, by, decide }) => {
    const decided = decide(foldJob(entries));
    if (!decided.ok) return decided;
    const fresh = decided.value.map((proposal, k) => {
      const { kind, subject, body } = proposal;
      const placed = { job: number, by, kind, subject, body, ...place(proposal, k) };
      const entry = seal(placed, entries.at(-1)) as unknown as Entry;
      entries.push(entry);
      return entry;
    });
    return { ok: true, value: fresh };
  });
}
