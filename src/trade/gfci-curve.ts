import { type PublishedTable, rowWhere } from './published-table.js';

export interface TripRow {
  readonly milliamps: number;
  readonly seconds: number;
}

/** Longest time that a class A ground-fault device may take, as computed from its curve and commonly printed. */
export const gfciTripTimes: PublishedTable<TripRow> = {
  title: 'Longest opening time of a class A ground-fault device',
  unit: 's',
  source: {
    publication: 'UL 943',
    clause: 'T = (20/I)^1.43',
    sure: 'B',
    note: 'rows computed from the curve',
  },
  note: 'The widely repeated 25 ms belongs to 264 mA only; at 6 mA a good device may take 5.6 s.',
  rows: [
    { milliamps: 6, seconds: 5.59 },
    { milliamps: 7, seconds: 4.49 },
    { milliamps: 8, seconds: 3.71 },
    { milliamps: 9, seconds: 3.13 },
    { milliamps: 10, seconds: 2.69 },
    { milliamps: 20, seconds: 1 },
    { milliamps: 30, seconds: 0.56 },
    { milliamps: 50, seconds: 0.27 },
    { milliamps: 100, seconds: 0.1 },
    { milliamps: 200, seconds: 0.037 },
    { milliamps: 264, seconds: 0.025 },
  ],
};

/**
 * Longest opening time in s at a difference current in mA, or undefined outside the curve's 6–264 mA.
 * @source UL 943
 */
export function gfciTripSeconds(milliamps: number): number | undefined {
  return milliamps >= 6 && milliamps <= 264 ? (20 / milliamps) ** 1.43 : undefined;
}

/** The printed row for exactly this current, or undefined. */
export function gfciTripRow(milliamps: number): TripRow | undefined {
  return rowWhere(gfciTripTimes, (row) => row.milliamps === milliamps);
}
