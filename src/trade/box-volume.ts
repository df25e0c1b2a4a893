import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';
import type { Awg } from './wire.js';

interface ConductorVolumeRow {
  readonly awg: Awg;
  readonly cubicInches: number;
}

/** The room that one conductor is counted with. */
export const conductorVolume: PublishedTable<ConductorVolumeRow> = {
  title: 'Volume allowance for each conductor in a box',
  unit: 'in³',
  source: { publication: 'NEC', clause: 'Table 314.16(B)(1)', sure: 'A' },
  rows: [
    { awg: 18, cubicInches: 1.5 },
    { awg: 16, cubicInches: 1.75 },
    { awg: 14, cubicInches: 2 },
    { awg: 12, cubicInches: 2.25 },
    { awg: 10, cubicInches: 2.5 },
    { awg: 8, cubicInches: 3 },
    { awg: 6, cubicInches: 5 },
  ],
};

/** The allowance in in³ for one conductor, or undefined where the table has no such size. */
export function conductorCubicInches(awg: number): number | undefined {
  return rowWhere(conductorVolume, (row) => row.awg === awg)?.cubicInches;
}

interface FillRule {
  readonly id:
    | 'conductor'
    | 'through'
    | 'pigtail'
    | 'clamps'
    | 'support'
    | 'device'
    | 'grounds'
    | 'terminal-block';
  readonly text: string;
  /** How many conductor volumes it counts for. */
  readonly count: number;
  readonly source: Source;
}

const nec = (clause: string, sure: Source['sure'], note?: string): Source => ({
  publication: 'NEC',
  clause: `314.16(B)${clause}`,
  sure,
  ...(note === undefined ? {} : { note }),
});

/** What is counted, and for how many conductors. */
export const fillRules: PublishedTable<FillRule> = {
  title: 'What counts in a box',
  unit: 'conductor volumes',
  source: nec('', 'A'),
  rows: [
    {
      id: 'conductor',
      text: 'A conductor from outside that ends or is spliced in the box',
      count: 1,
      source: nec('(1)', 'A'),
    },
    { id: 'through', text: 'A conductor that passes through unbroken', count: 1, source: nec('(1)', 'A') },
    { id: 'pigtail', text: 'A pigtail that never leaves the box', count: 0, source: nec('(1)', 'A') },
    {
      id: 'clamps',
      text: 'All internal clamps together, at the largest conductor in the box',
      count: 1,
      source: nec('(2)', 'A'),
    },
    {
      id: 'support',
      text: 'Each type of support fitting, at the largest conductor in the box',
      count: 1,
      source: nec('(3)', 'A'),
    },
    {
      id: 'device',
      text: 'Each yoke with a device, at the largest conductor connected to it',
      count: 2,
      source: nec('(4)', 'A'),
    },
    {
      id: 'grounds',
      text: 'Up to four grounding conductors together, at the largest; a quarter more for each beyond four',
      count: 1,
      source: nec('(5)', 'A', 'since the 2020 edition; before it, one for all'),
    },
    { id: 'terminal-block', text: 'A terminal block', count: 1, source: nec('(6)', 'D') },
  ],
};

/** The rule by its id. */
export function fillRule(id: FillRule['id']): FillRule {
  return rowWhere(fillRules, (row) => row.id === id)!;
}
