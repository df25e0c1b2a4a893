import type { InsulationC } from './ampacity.js';
import { type PublishedTable, rowWhere } from './published-table.js';

interface AmbientRow {
  /** The band reaches from just above the one before it up to this temperature, °C. */
  readonly upToC: number;
  /** Factor by insulation rating; undefined where the table gives none. */
  readonly factor: Readonly<Record<InsulationC, number | undefined>>;
}

/** What heat takes from a conductor's ampacity. */
export const ambientCorrection: PublishedTable<AmbientRow> = {
  title: 'Ambient temperature correction, based on 30 °C',
  unit: 'factor',
  source: { publication: 'NEC 2023', clause: 'Table 310.15(B)(1)(1)', sure: 'A' },
  note: 'The copy at hand ends at 70 °C.',
  rows: [
    { upToC: 10, factor: { 60: 1.29, 75: 1.2, 90: 1.15 } },
    { upToC: 15, factor: { 60: 1.22, 75: 1.15, 90: 1.12 } },
    { upToC: 20, factor: { 60: 1.15, 75: 1.11, 90: 1.08 } },
    { upToC: 25, factor: { 60: 1.08, 75: 1.05, 90: 1.04 } },
    { upToC: 30, factor: { 60: 1, 75: 1, 90: 1 } },
    { upToC: 35, factor: { 60: 0.91, 75: 0.94, 90: 0.96 } },
    { upToC: 40, factor: { 60: 0.82, 75: 0.88, 90: 0.91 } },
    { upToC: 45, factor: { 60: 0.71, 75: 0.82, 90: 0.87 } },
    { upToC: 50, factor: { 60: 0.58, 75: 0.75, 90: 0.82 } },
    { upToC: 55, factor: { 60: 0.41, 75: 0.67, 90: 0.76 } },
    { upToC: 60, factor: { 60: undefined, 75: 0.58, 90: 0.71 } },
    { upToC: 65, factor: { 60: undefined, 75: 0.47, 90: 0.65 } },
    { upToC: 70, factor: { 60: undefined, 75: 0.33, 90: 0.58 } },
  ],
};

/** The factor for air at `ambientC` (°C), or undefined where the table gives none. */
export function ambientFactor(ambientC: number, insulationC: InsulationC): number | undefined {
  return rowWhere(ambientCorrection, (row) => ambientC <= row.upToC)?.factor[insulationC];
}
