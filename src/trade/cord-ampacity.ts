import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';
import type { Awg } from './wire.js';

interface CordRow {
  readonly awg: Awg;
  /** A with three conductors carrying current. */
  readonly threeCarrying: number;
  /** A with two conductors carrying current: the ordinary three-wire 120 V cord. */
  readonly twoCarrying: number;
  /** Of the two-carrying column; the three-carrying one is B throughout, C at 18 AWG. */
  readonly source: Source;
}

const table400 = { publication: 'NEC', clause: 'Table 400.5(A)(1)' } as const;

/** Ampacity of flexible cord. */
export const cordAmpacity: PublishedTable<CordRow> = {
  title: 'Ampacity of flexible cord at 30 °C',
  unit: 'A',
  source: { ...table400, sure: 'B' },
  note: 'Cord is 60 °C unless marked. A 15 A plug limits the set to 15 A whatever the cord.',
  rows: [
    { awg: 18, threeCarrying: 7, twoCarrying: 10, source: { ...table400, sure: 'B' } },
    { awg: 16, threeCarrying: 10, twoCarrying: 13, source: { ...table400, sure: 'A' } },
    { awg: 14, threeCarrying: 15, twoCarrying: 18, source: { ...table400, sure: 'A' } },
    { awg: 12, threeCarrying: 20, twoCarrying: 25, source: { ...table400, sure: 'A' } },
    { awg: 10, threeCarrying: 25, twoCarrying: 30, source: { ...table400, sure: 'B' } },
  ],
};

/** The row for a cord of this size, or undefined where the table at hand has none. */
export function cordRow(awg: number): CordRow | undefined {
  return rowWhere(cordAmpacity, (row) => row.awg === awg);
}
