import { AppError, type Result } from '../errors.js';
import { seal } from '../logbook/chain.js';
import type { Author, Entry, NewEntry } from '../logbook/entry.js';
import { foldJob, type JobLog } from '../logbook/job-log.js';
import { type Asker, accept } from '../steps/accept.js';
import type { JobFile } from './job-file.js';

/** One entry of a file on its way through the gate, and what the gate makes of it. */
export interface Replayed {
  readonly key: string;
  readonly at: string;
  readonly by: Author;
  readonly entry: NewEntry;
  readonly decide: (log: JobLog) => Result<NewEntry[]>;
}

/**
 * Sends a file's entries through the gate in their order. `write` puts each where it belongs and answers with what was
 * written; an entry that an earlier one brought along (the defect of a failed reading) is not written twice. Throws
 * AppError `bad-file` with the number of the entry that is refused, and why.
 */
export function replay(file: JobFile, write: (step: Replayed) => Result<readonly Entry[]>): Entry[] {
  const people: Asker[] = file.people.map(({ id, name, roles }) => ({ id, name, roles }));
  const written: Entry[] = [];
  file.entries.forEach((entry, k) => {
    const proposal = { kind: entry.kind, subject: entry.subject, body: entry.body } as NewEntry;
    const brought = written[k];
    if (brought?.kind === proposal.kind && brought.subject === proposal.subject) return;
    const roles = people.find((p) => p.id === entry.by.id)?.roles ?? [];
    const by = { id: entry.by.id, name: entry.by.name };
    const answer = write({
      key: entry.key ?? `entry-${String(k + 1).padStart(5, '0')}`,
      at: new Date(entry.at).toISOString(),
      by,
      entry: proposal,
      decide: (log) => accept(log, proposal, { by: { ...by, roles }, people }),
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
    written.push(...answer.value);
  });
  return written;
}

/** A file's logbook without a store: for a record made straight from a file. */
export function replayInMemory(file: JobFile, number: string): Entry[] {
  const entries: Entry[] = [];
  return replay(file, ({ key, at, by, decide }) => {
    const decided = decide(foldJob(entries));
    if (!decided.ok) return decided;
    const fresh = decided.value.map((proposal, k) => {
      const { kind, subject, body } = proposal;
      const placed = { job: number, at, by, kind, subject, body, key: k === 0 ? key : `${key}.${k + 1}` };
      const entry = seal(placed, entries.at(-1)) as unknown as Entry;
      entries.push(entry);
      return entry;
    });
    return { ok: true, value: fresh };
  });
}
