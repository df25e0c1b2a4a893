import { type PublishedTable, rowWhere } from './published-table.js';
import type { Awg } from './wire.js';

export interface ResistanceRow {
  readonly awg: Awg;
  readonly circularMils: number;
  readonly solid: number | undefined;
  readonly stranded: number;
  readonly solidCoated: number | undefined;
  readonly strandedCoated: number;
}

/** Direct-current resistance of copper conductors at 75 °C. */
export const conductorResistance: PublishedTable<ResistanceRow> = {
  title: 'Direct-current resistance of copper conductors at 75 °C',
  unit: 'Ω per 1000 ft',
  source: { publication: 'NEC Chapter 9', clause: 'Table 8, uncoated columns', sure: 'A' },
  note: 'A reading at 20 °C is about 82 % of these. There is no solid row for 6 AWG. The coated columns were seen in one copy only.',
  rows: [
    { awg: 18, circularMils: 1620, solid: 7.77, stranded: 7.95, solidCoated: 8.08, strandedCoated: 8.45 },
    { awg: 16, circularMils: 2580, solid: 4.89, stranded: 4.99, solidCoated: 5.08, strandedCoated: 5.29 },
    { awg: 14, circularMils: 4110, solid: 3.07, stranded: 3.14, solidCoated: 3.19, strandedCoated: 3.26 },
    { awg: 12, circularMils: 6530, solid: 1.93, stranded: 1.98, solidCoated: 2.01, strandedCoated: 2.05 },
    { awg: 10, circularMils: 10380, solid: 1.21, stranded: 1.24, solidCoated: 1.26, strandedCoated: 1.29 },
    { awg: 8, circularMils: 16510, solid: 0.764, stranded: 0.778, solidCoated: 0.786, strandedCoated: 0.809 },
    {
      awg: 6,
      circularMils: 26240,
      solid: undefined,
      stranded: 0.491,
      solidCoated: undefined,
      strandedCoated: 0.51,
    },
  ],
};

/** The row for a size in AWG, or undefined where the table has none. */
export function resistanceRow(awg: number): ResistanceRow | undefined {
  return rowWhere(conductorResistance, (row) => row.awg === awg);
}
