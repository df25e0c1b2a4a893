import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';

export interface MeterClass {
  readonly id: 'handheld' | 'better-handheld' | 'low-ohm' | 'low-impedance';
  readonly title: string;
  /** Percent of reading, counts of the last digit, and the last digit in Ω or V. */
  readonly ohms:
    | {
        readonly percent: number;
        readonly counts: number;
        readonly resolution: number;
        readonly overLimit: number;
      }
    | undefined;
  readonly volts:
    | { readonly percent: number; readonly counts: number; readonly resolution: number }
    | undefined;
  readonly inputOhms: number | undefined;
  readonly source: Source;
}

/** What meters of a kind usually state; the figures on the instrument's own sheet come first. */
export const meterClasses: PublishedTable<MeterClass> = {
  title: 'Usual accuracy of meters',
  unit: 'percent of reading and counts of the last digit',
  source: { publication: "Makers' data sheets", sure: 'C' },
  note: "A handheld's buzzer sounds below about 100 Ω: it is no reading.",
  rows: [
    {
      id: 'handheld',
      title: 'handheld multimeter',
      ohms: { percent: 0.9, counts: 2, resolution: 0.1, overLimit: 4e7 },
      volts: { percent: 1, counts: 3, resolution: 0.1 },
      inputOhms: 1e7,
      source: { publication: "Makers' data sheets", clause: 'typical', sure: 'C' },
    },
    {
      id: 'better-handheld',
      title: 'better handheld multimeter',
      ohms: { percent: 0.8, counts: 2, resolution: 0.1, overLimit: 4e7 },
      volts: { percent: 0.7, counts: 2, resolution: 0.1 },
      inputOhms: 1e7,
      source: {
        publication: "Two makers' data sheets",
        clause: '200 Ω and AC volts ranges',
        sure: 'A',
        note: 'over-limit and input resistance from memory',
      },
    },
    {
      id: 'low-ohm',
      title: 'low-ohm meter',
      ohms: { percent: 2, counts: 5, resolution: 0.01, overLimit: 2000 },
      volts: undefined,
      inputOhms: undefined,
      source: { publication: 'IEC 61557-4', clause: '200 mA or more', sure: 'C' },
    },
    {
      id: 'low-impedance',
      title: 'low-impedance voltmeter range',
      ohms: undefined,
      volts: { percent: 2, counts: 3, resolution: 0.1 },
      inputOhms: 3000,
      source: { publication: 'Judgement of this project', sure: 'C' },
    },
  ],
};

/** The class by its id. */
export function meterClass(id: MeterClass['id']): MeterClass {
  return rowWhere(meterClasses, (row) => row.id === id)!;
}
