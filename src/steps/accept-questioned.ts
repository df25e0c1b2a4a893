import type { Result } from '../errors.js';
import type { NewEntry } from '../logbook/entry.js';
import { givenBy } from './instrument-doubts.js';
import { refuse, type WithJob } from './proposal.js';

type Questioned = Extract<NewEntry, { kind: 'instrument questioned' }>;

/** A finding about an instrument names what it gave in this job, and nothing else. */
export function acceptQuestioned({ entry, log }: WithJob<Questioned>): Result<NewEntry[]> {
  const { instrument, entries } = entry.body;
  const stranger = entries.find((seq) => !givenBy(log.entries[seq - 1], instrument.id));
  return stranger === undefined
    ? { ok: true, value: [entry] }
    : refuse('entries', `Entry ${stranger} holds nothing that this instrument gave.`);
}
