import { type PublishedTable, rowWhere } from './published-table.js';
import type { Awg } from './wire.js';

export type InsulationC = 60 | 75 | 90;

interface AmpacityRow {
  readonly awg: Awg;
  /** A for insulation rated 60, 75 and 90 °C. */
  readonly amps: Readonly<Record<InsulationC, number>>;
}

/** Ampacity of copper conductors in a raceway, a cable or the earth. */
export const ampacity: PublishedTable<AmpacityRow> = {
  title: 'Ampacity of copper conductors, no more than three carrying current, at 30 °C',
  unit: 'A',
  source: { publication: 'NEC 2023', clause: 'Table 310.16', sure: 'A' },
  note: 'Copies from before 2011 give 14 AWG 20 A and 12 AWG 25 A at 60 °C; those are not used.',
  rows: [
    { awg: 14, amps: { 60: 15, 75: 20, 90: 25 } },
    { awg: 12, amps: { 60: 20, 75: 25, 90: 30 } },
    { awg: 10, amps: { 60: 30, 75: 35, 90: 40 } },
    { awg: 8, amps: { 60: 40, 75: 50, 90: 55 } },
    { awg: 6, amps: { 60: 55, 75: 65, 90: 75 } },
  ],
};

/** Ampacity in A at 30 °C, or undefined where the table has no such size. */
export function ampacityAmps(awg: number, insulationC: InsulationC): number | undefined {
  return rowWhere(ampacity, (row) => row.awg === awg)?.amps[insulationC];
}
