import type { Meter } from '../meter/meter.js';
import { placeOf } from '../meter/point.js';
import type { Reading, Test } from '../meter/readings-file.js';
import { uncertainty } from '../meter/uncertainty.js';

/** A number read between two points, with the meter's error; null is over-limit. */
export interface Measured {
  readonly value: number | null;
  readonly uncertainty: number;
  readonly reading: Reading;
}

/** The readings of a file, asked for by what they are: between two points in either direction, or an answer. */
export class Taken {
  constructor(
    readonly readings: readonly Reading[],
    readonly meter: Meter,
  ) {}

  ohms(a: string, b: string): Measured[] {
    return this.readings.flatMap((r) => {
      if (r.test !== 'resistance' || !between(r, a, b)) return [];
      return [this.#measured(r, r.ohms)];
    });
  }

  volts(a: string, b: string): Measured[] {
    return this.readings.flatMap((r) =>
      r.test === 'voltage' && between(r, a, b) ? [this.#measured(r, r.volts)] : [],
    );
  }

  /** Every reading of volts, with or without a load. */
  allVolts(): Measured[] {
    return this.readings.flatMap((r) => ('volts' in r ? [this.#measured(r, r.volts)] : []));
  }

  /** Loaded voltages hot to neutral, with their load. */
  loaded(): (Measured & { readonly amps: number; readonly outlet: string })[] {
    return this.readings.flatMap((r) => {
      if (r.test !== 'loaded-voltage') return [];
      const outlet = placeOf(r.from);
      if (!between(r, `${outlet}.hot`, `${outlet}.neutral`)) return [];
      return [{ ...this.#measured(r, r.volts), amps: r.amps, outlet }];
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

  #measured(reading: Reading, value: number | null): Measured {
    const test = reading.test as 'resistance' | 'voltage' | 'loaded-voltage';
    return { value, uncertainty: value === null ? 0 : uncertainty(this.meter, { test, value }), reading };
  }
}

/** One text for one act, in whichever direction and with whatever load it is taken. */
export function actOf(test: Test): string {
  if (test.test === 'observation') return `${test.what} ${'at' in test ? test.at : ''}`;
  return [test.test, ...[test.from, test.to].sort()].join(' ');
}

function between(r: { from: string; to: string }, a: string, b: string): boolean {
  return (r.from === a && r.to === b) || (r.from === b && r.to === a);
}
