import { type PublishedTable, rowWhere } from './published-table.js';
import type { Awg } from './wire.js';

interface SmallConductorRow {
  readonly awg: Awg;
  readonly breakerAmps: number;
}

/** The largest breaker that a small copper conductor may stand behind, whatever its insulation. */
export const smallConductorCap: PublishedTable<SmallConductorRow> = {
  title: 'Largest overcurrent device for small copper conductors',
  unit: 'A',
  source: { publication: 'NEC 2023', clause: '240.4(D)', sure: 'A' },
  rows: [
    { awg: 14, breakerAmps: 15 },
    { awg: 12, breakerAmps: 20 },
    { awg: 10, breakerAmps: 30 },
  ],
};

/** The cap in A, or undefined: larger sizes have none and smaller ones are no branch conductors. */
export function smallConductorCapAmps(awg: number): number | undefined {
  return rowWhere(smallConductorCap, (row) => row.awg === awg)?.breakerAmps;
}
