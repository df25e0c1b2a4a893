import type { InstrumentSnapshot } from '../logbook/entry.js';
import type { Meter } from '../meter/meter.js';

/** A common hand meter, used to say what a reading should show before one is chosen. @source common practice, no source */
export const usualMeter: Meter = {
  ohms: { percent: 0.9, counts: 2, resolution: 0.1, overLimit: 40_000_000 },
  volts: { percent: 1, counts: 3, resolution: 0.1 },
  inputOhms: 10_000_000,
};

/** The instrument as the engine's meter; undefined where it states no accuracy at all. */
export function meterOf(instrument: InstrumentSnapshot | undefined): Meter | undefined {
  if (instrument === undefined || (instrument.ohms === undefined && instrument.volts === undefined))
    return undefined;
  return {
    ohms: instrument.ohms ?? usualMeter.ohms,
    volts: instrument.volts ?? usualMeter.volts,
    inputOhms: instrument.inputOhms ?? usualMeter.inputOhms,
  };
}
