import type { InstrumentSnapshot } from './entry.js';
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
