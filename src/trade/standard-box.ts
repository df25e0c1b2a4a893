import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';

export interface StandardBoxRow {
  readonly id: string;
  readonly shape: string;
  readonly depthIn: number;
  readonly cubicInches: number;
  readonly source?: Source;
}

const fromMemory: Source = { publication: 'NEC', clause: 'Table 314.16(A)', sure: 'C' };

/** Standard metal boxes; a plastic box has its volume stamped in it. */
export const standardBoxes: PublishedTable<StandardBoxRow> = {
  title: 'Volume of standard metal boxes',
  unit: 'in³',
  source: { publication: 'NEC', clause: 'Table 314.16(A)', sure: 'A' },
  note: 'A plastic box carries its volume on its own stamp.',
  rows: [
    { id: 'device-1.5', shape: 'device, 3 × 2 in', depthIn: 1.5, cubicInches: 7.5, source: fromMemory },
    { id: 'device-2', shape: 'device, 3 × 2 in', depthIn: 2, cubicInches: 10 },
    { id: 'device-2.25', shape: 'device, 3 × 2 in', depthIn: 2.25, cubicInches: 10.5 },
    { id: 'device-2.5', shape: 'device, 3 × 2 in', depthIn: 2.5, cubicInches: 12.5 },
    { id: 'device-2.75', shape: 'device, 3 × 2 in', depthIn: 2.75, cubicInches: 14 },
    { id: 'device-3.5', shape: 'device, 3 × 2 in', depthIn: 3.5, cubicInches: 18 },
    { id: 'utility-1.5', shape: 'utility, 4 × 2-1/8 in', depthIn: 1.5, cubicInches: 10.3 },
    { id: 'utility-1.875', shape: 'utility, 4 × 2-1/8 in', depthIn: 1.875, cubicInches: 13 },
    { id: 'utility-2.125', shape: 'utility, 4 × 2-1/8 in', depthIn: 2.125, cubicInches: 14.5 },
    { id: 'square-4-1.25', shape: 'square, 4 in', depthIn: 1.25, cubicInches: 18 },
    { id: 'square-4-1.5', shape: 'square, 4 in', depthIn: 1.5, cubicInches: 21 },
    { id: 'square-4-2.125', shape: 'square, 4 in', depthIn: 2.125, cubicInches: 30.3 },
    { id: 'square-4.7-1.25', shape: 'square, 4-11/16 in', depthIn: 1.25, cubicInches: 25.5 },
    { id: 'square-4.7-1.5', shape: 'square, 4-11/16 in', depthIn: 1.5, cubicInches: 29.5 },
    { id: 'square-4.7-2.125', shape: 'square, 4-11/16 in', depthIn: 2.125, cubicInches: 42 },
    {
      id: 'round-4-1.25',
      shape: 'round or octagonal, 4 in',
      depthIn: 1.25,
      cubicInches: 12.5,
      source: fromMemory,
    },
    { id: 'round-4-1.5', shape: 'round or octagonal, 4 in', depthIn: 1.5, cubicInches: 15.5 },
    { id: 'round-4-2.125', shape: 'round or octagonal, 4 in', depthIn: 2.125, cubicInches: 21.5 },
    { id: 'cast-shallow', shape: 'cast, one gang, FS', depthIn: 1.75, cubicInches: 13.5 },
    { id: 'cast-deep', shape: 'cast, one gang, FD', depthIn: 2.375, cubicInches: 18 },
  ],
};

/** The box by its id, or undefined. */
export function standardBox(id: string): StandardBoxRow | undefined {
  return rowWhere(standardBoxes, (row) => row.id === id);
}
