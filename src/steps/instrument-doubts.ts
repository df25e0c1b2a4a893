import { calibrationOver, mayBeFrom } from '../logbook/calibration.js';
import type { Entry, InstrumentSnapshot } from '../logbook/entry.js';
import { instrumentsNamed } from '../logbook/instrument-snapshot.js';

/** Whether an entry holds a reading or a measured value that names this instrument. */
export function givenBy(entry: Entry | undefined, instrument: string): boolean {
  if (entry?.kind === 'reading taken') return entry.body.instrument?.id === instrument;
  if (entry?.kind !== 'step done') return false;
  return instrumentsNamed(entry.body.answers).includes(instrument);
}

/** Why what was measured after the last day of an instrument's calibration, or on a day that nobody knows, proves nothing; undefined where it was in time. */
export function expiredText(at: string, instrument: InstrumentSnapshot | undefined): string | undefined {
  if (instrument?.due === undefined) return undefined;
  const { name, serial, calibrated, due } = instrument;
  if (calibrationOver(due, at))
    return `The calibration of ${name}, serial ${serial}, held until ${due}: take it again with an instrument that is in calibration.`;
  return mayBeFrom(calibrated, at)
    ? undefined
    : `The clock said ${at.slice(0, 10)}, before ${name}, serial ${serial}, was calibrated on ${calibrated}: nobody can tell whether its calibration still held. Set the clock right and take it again.`;
}

/** Whether an entry is dated before an instrument that gave something in it was calibrated: the clock was wrong, and its day is unknown. */
export function isMisdated(entry: Entry, instrument: string): boolean {
  const kept =
    entry.kind === 'reading taken'
      ? [entry.body.instrument]
      : entry.kind === 'step done'
        ? (entry.body.instruments ?? [])
        : [];
  return kept.some((i) => i?.id === instrument && !mayBeFrom(i.calibrated, entry.at));
}

/** Why what an instrument gave no longer proves, and what would. */
export function questionedText({ seq, body }: Entry & { kind: 'instrument questioned' }): string {
  const { instrument, from, reason } = body;
  return `No longer proven: ${instrument.name}, serial ${instrument.serial}, was found not to tell the truth from ${from} on (entry ${seq}: ${reason}). Take it again with an instrument that is in calibration.`;
}
