import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';
import type { Awg } from './wire.js';

interface GroundConductorRow {
  readonly breakerAmps: number;
  readonly awg: Awg;
  readonly source: Source;
}

const table250 = { publication: 'NEC', clause: 'Table 250.122' } as const;

/** Smallest copper equipment grounding conductor by the breaker ahead of it. */
export const groundConductor: PublishedTable<GroundConductorRow> = {
  title: 'Smallest copper equipment grounding conductor',
  unit: 'AWG',
  source: { ...table250, sure: 'A', note: 'rows for 20 A and 30 A from memory' },
  rows: [
    { breakerAmps: 15, awg: 14, source: { ...table250, sure: 'A' } },
    { breakerAmps: 20, awg: 12, source: { ...table250, sure: 'C' } },
    { breakerAmps: 30, awg: 10, source: { ...table250, sure: 'C' } },
  ],
};

/** The row for a breaker of exactly `breakerAmps`, or undefined. */
export function groundConductorRow(breakerAmps: number): GroundConductorRow | undefined {
  return rowWhere(groundConductor, (row) => row.breakerAmps === breakerAmps);
}
