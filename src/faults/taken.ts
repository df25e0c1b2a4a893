import type { Meter } from '../meter/meter.js';
import { placeOf } from '../meter/point.js';
import type { Reading, Test } from '../meter/readings-file.js';
import { uncertainty } from '../meter/uncertainty.js';

/** A number read between two points, Ω or V, with the meter's error; null is over-limit, more than `overLimitAt`. */
export interface Measured {
  readonly value: number | null;
  readonly uncertainty: number;
  readonly overLimitAt: number;
  readonly reading: Reading;
}

/** What was read between two points, ready to be judged. */
export function measured(reading: Exclude<Reading, { test: 'observation' }>, meter: Meter): Measured {
  const value = 'ohms' in reading ? reading.ohms : reading.volts;
  return {
    value,
    uncertainty: value === null ? 0 : uncertainty(meter, { test: reading.test, value }),
    overLimitAt: meter.ohms.overLimit,
    reading,
  };
}

/** The readings of a file, asked for by what they are: between two points in either direction, or an answer. */
export class Taken {
  constructor(
    readonly readings: readonly Reading[],
    readonly meter: Meter,
  ) {}

  ohms(a: string, b: string): Measured[] {
    return this.readings.flatMap((r) =>
      r.test === 'resistance' && between(r, a, b) ? [measured(r, this.meter)] : [],
    );
  }

  volts(a: string, b: string): Measured[] {
    return this.readings.flatMap((r) =>
      r.test === 'voltage' && between(r, a, b) ? [measured(r, this.meter)] : [],
    );
  }

  /** Every reading of volts, with or without a load. */
  allVolts(): Measured[] {
    return this.readings.flatMap((r) => ('volts' in r ? [measured(r, this.meter)] : []));
  }

  /** Loaded voltages hot to neutral at outlets, with their load; at the supply's own slots they are `loadedSupply`. */
  loaded(): (Measured & { readonly amps: number; readonly outlet: string })[] {
    return this.#loadedAt((place) => place !== 'supply');
  }

  loadedSupply(): (Measured & { readonly amps: number })[] {
    return this.#loadedAt((place) => place === 'supply');
  }

  #loadedAt(is: (place: string) => boolean) {
    return this.readings.flatMap((r) => {
      if (r.test !== 'loaded-voltage') return [];
      const outlet = placeOf(r.from);
      if (!is(outlet) || !between(r, `${outlet}.hot`, `${outlet}.neutral`)) return [];
      return [{ ...measured(r, this.meter), amps: r.amps, outlet }];
    });
  }

  /** The current of the test load that was used, A, where one was. */
  loadAmps(): number | undefined {
    return this.readings.flatMap((r) => ('amps' in r ? [r.amps] : []))[0];
  }

  answers(
    what: 'supply-holds' | 'gfci-resets' | 'dead-when-tripped' | 'holds-under-load',
    at?: string,
  ): boolean[] {
    return this.readings.flatMap((r) => {
      if (r.test !== 'observation' || r.what !== what || !('answer' in r)) return [];
      return at === undefined || ('at' in r && r.at === at) ? [r.answer] : [];
    });
  }

  /** True where this very test is among the readings, whatever it showed. */
  has(test: Test): boolean {
    const act = actOf(test);
    return this.readings.some((r) => actOf(r) === act);
  }
}

/** One text for one act, in whichever direction and with whatever load it is taken. */
export function actOf(test: Test): string {
  if (test.test === 'observation') return `${test.what} ${'at' in test ? test.at : ''}`;
  return [test.test, ...[test.from, test.to].sort()].join(' ');
}

/** Whether a reading is between these two points, in either direction. */
export function between(r: { from: string; to: string }, a: string, b: string): boolean {
  return (r.from === a && r.to === b) || (r.from === b && r.to === a);
}
