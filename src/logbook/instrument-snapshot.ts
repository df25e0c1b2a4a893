import type { Answer, InstrumentSnapshot } from './entry.js';
import type { Instrument } from './fold-shop.js';

/** The instrument as it is today, for keeping with what it measures. */
export function snapshotOf(instrument: Instrument): InstrumentSnapshot {
  const { id, kind, name, serial, calibrated, due, ohms, volts, inputOhms } = instrument;
  return {
    id,
    kind,
    name,
    serial,
    calibrated,
    ...(due === undefined ? {} : { due }),
    ...(ohms ? { ohms } : {}),
    ...(volts ? { volts } : {}),
    ...(inputOhms ? { inputOhms } : {}),
  };
}

/** The instruments that the values among these answers name, by id. */
export function instrumentsNamed(answers: Readonly<Record<string, Answer>>): string[] {
  return Object.values(answers).flatMap((a) => (a.kind === 'value' ? (a.instrument ?? []) : []));
}
