import { type PublishedTable, rowWhere } from './published-table.js';

interface ReceptacleLoadRow {
  readonly receptacleAmps: number;
  readonly loadAmps: number;
}

/** What may be plugged into one receptacle of a circuit with several. */
export const receptacleLoad: PublishedTable<ReceptacleLoadRow> = {
  title: 'Largest plugged-in load at one receptacle',
  unit: 'A',
  source: { publication: 'NEC', clause: 'Table 210.21(B)(2)', sure: 'A' },
  rows: [
    { receptacleAmps: 15, loadAmps: 12 },
    { receptacleAmps: 20, loadAmps: 16 },
  ],
};

/** The largest load in A, or undefined. */
export function receptacleLoadAmps(receptacleAmps: number): number | undefined {
  return rowWhere(receptacleLoad, (row) => row.receptacleAmps === receptacleAmps)?.loadAmps;
}
