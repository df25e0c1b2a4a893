import { type PublishedTable, rowWhere } from './published-table.js';
import type { Awg } from './wire.js';

interface CordGuidanceRow {
  /** The band reaches from just above the one before it up to this nameplate current, A. */
  readonly upToAmps: number;
  /** Smallest size by the cord's length in ft; undefined where no cord serves. */
  readonly awgByFeet: Readonly<Record<25 | 50 | 75 | 100 | 150, Awg | undefined>>;
}

/** What tool makers print for extension cords; guidance, no rule of any code. */
export const cordGuidance: PublishedTable<CordGuidanceRow> = {
  title: 'Smallest extension cord for a tool at 120 V, by nameplate current and length',
  unit: 'AWG',
  source: {
    publication: 'Tool makers’ manuals',
    clause: '5 V of line drop at 150 % of rated current',
    sure: 'A',
    note: 'guidance, not a code rule; makers differ by one size at 25 ft and 7.1–12 A',
  },
  rows: [
    { upToAmps: 2, awgByFeet: { 25: 18, 50: 18, 75: 18, 100: 18, 150: 16 } },
    { upToAmps: 3.4, awgByFeet: { 25: 18, 50: 18, 75: 18, 100: 16, 150: 14 } },
    { upToAmps: 5, awgByFeet: { 25: 18, 50: 18, 75: 16, 100: 14, 150: 12 } },
    { upToAmps: 7, awgByFeet: { 25: 18, 50: 16, 75: 14, 100: 12, 150: 12 } },
    { upToAmps: 12, awgByFeet: { 25: 16, 50: 14, 75: 12, 100: 10, 150: undefined } },
    { upToAmps: 16, awgByFeet: { 25: 14, 50: 12, 75: 10, 100: undefined, 150: undefined } },
    { upToAmps: 20, awgByFeet: { 25: 12, 50: 10, 75: undefined, 100: undefined, 150: undefined } },
  ],
};

const lengths = [25, 50, 75, 100, 150] as const;

/** Smallest size for a current in A and a length in ft, each taken into the band that holds it; undefined where none serves. */
export function guidedCordAwg(amps: number, lengthFt: number): Awg | undefined {
  const column = lengths.find((feet) => lengthFt <= feet);
  if (column === undefined) return undefined;
  return rowWhere(cordGuidance, (row) => amps <= row.upToAmps)?.awgByFeet[column];
}
