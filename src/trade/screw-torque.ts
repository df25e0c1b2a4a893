import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';

export interface TorqueRow {
  readonly id: 'type-test' | 'one-maker';
  readonly title: string;
  readonly lowInLbf: number;
  readonly highInLbf: number;
  readonly source: Source;
}

/** What is known of a receptacle's screws; the marking on the device comes first, always. */
export const screwTorque: PublishedTable<TorqueRow> = {
  title: 'Torque of a receptacle terminal screw',
  unit: 'in-lbf',
  source: { publication: 'NEC', clause: '110.14(D): the torque marked on the device', sure: 'A' },
  note: 'A device without a marking has no figure to pass by: ask its maker.',
  rows: [
    {
      id: 'type-test',
      title: 'what the screws are tested at',
      lowInLbf: 12,
      highInLbf: 14,
      source: { publication: 'UL 498', clause: 'terminal test', sure: 'A' },
    },
    {
      id: 'one-maker',
      title: 'what one maker asks for its own',
      lowInLbf: 14,
      highInLbf: 18,
      source: { publication: "A receptacle maker's leaflet", sure: 'A' },
    },
  ],
};

/** The row by its id. */
export function screwTorqueRow(id: TorqueRow['id']): TorqueRow {
  return rowWhere(screwTorque, (row) => row.id === id)!;
}
