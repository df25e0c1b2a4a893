import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';

export interface VoltageBand {
  readonly id: 'good' | 'usable' | 'do-not-plug-in';
  readonly title: string;
  readonly lowVolts: number;
  readonly highVolts: number;
  readonly source: Source;
}

const ansi = 'ANSI C84.1';

/** What a 120 V supply may show, hot to neutral, with nothing plugged in. */
export const supplyVoltage: PublishedTable<VoltageBand> = {
  title: 'Supply voltage, hot to neutral',
  unit: 'V',
  source: { publication: ansi, clause: 'voltage ranges on a 120 V base', sure: 'A' },
  rows: [
    {
      id: 'good',
      title: 'as it should be',
      lowVolts: 114,
      highVolts: 126,
      source: { publication: ansi, clause: 'range A, service', sure: 'A' },
    },
    {
      id: 'usable',
      title: 'usable',
      lowVolts: 108,
      highVolts: 127,
      source: {
        publication: ansi,
        clause: 'range A utilization, range B service',
        sure: 'A',
        note: 'the lighting band is left out',
      },
    },
    {
      id: 'do-not-plug-in',
      title: 'outside this, do not plug in',
      lowVolts: 104,
      highVolts: 132,
      source: {
        publication: ansi,
        clause: 'range B utilization',
        sure: 'C',
        note: '132 V is 120 V and a tenth, from memory',
      },
    },
  ],
};

/** The band by its id. */
export function voltageBand(id: VoltageBand['id']): VoltageBand {
  return rowWhere(supplyVoltage, (row) => row.id === id)!;
}

/** The best band that a voltage lies in, or undefined where it lies outside all. */
export function bandOf(volts: number): VoltageBand | undefined {
  return rowWhere(supplyVoltage, (row) => volts >= row.lowVolts && volts <= row.highVolts);
}
