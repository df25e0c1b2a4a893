import type { Result } from '../errors.js';
import { calibrationOver } from '../logbook/calibration.js';
import type { Entry, InstrumentSnapshot, NewEntry } from '../logbook/entry.js';
import { instrumentsNamed } from '../logbook/instrument-snapshot.js';
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

/** Whether an entry holds a reading or a measured value that names this instrument. */
export function givenBy(entry: Entry | undefined, instrument: string): boolean {
  if (entry?.kind === 'reading taken') return entry.body.instrument?.id === instrument;
  if (entry?.kind !== 'step done') return false;
  return instrumentsNamed(entry.body.answers).includes(instrument);
}

/** Why what was measured after the last day of an instrument's calibration proves nothing; undefined where it was in time. */
export function expiredText(at: string, instrument: InstrumentSnapshot | undefined): string | undefined {
  if (instrument === undefined || !calibrationOver(instrument.due, at)) return undefined;
  return `The calibration of ${instrument.name}, serial ${instrument.serial}, held until ${instrument.due}: take it again with an instrument that is in calibration.`;
}

/** Why what an instrument gave no longer proves, and what would. */
export function questionedText({ seq, body }: Entry & { kind: 'instrument questioned' }): string {
  const { instrument, from, reason } = body;
  return `No longer proven: ${instrument.name}, serial ${instrument.serial}, was found not to tell the truth from ${from} on (entry ${seq}: ${reason}). Take it again with an instrument that is in calibration.`;
}
