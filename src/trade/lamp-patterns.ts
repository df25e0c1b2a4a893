import type { PublishedTable } from './published-table.js';
import type { Source } from './source.js';

interface LampPattern {
  readonly id: string;
  readonly condition: string;
  readonly hotNeutral: boolean;
  readonly hotGround: boolean;
  readonly neutralGround: boolean;
  readonly source: Source;
}

const seen = (sure: Source['sure']): Source => ({
  publication: 'Three-lamp outlet tester',
  clause: 'circuit logic',
  sure,
});

/** Which lamps light across the slots; makers permute order and colours, so no maker's legend is used. */
export const lampPatterns: PublishedTable<LampPattern> = {
  title: 'Three-lamp tester: what lights in which condition',
  unit: 'lit or dark',
  source: { publication: 'Three-lamp outlet tester', clause: 'circuit logic of an ideal supply', sure: 'B' },
  note: 'Unplug every load first. A tester sees no quality of ground, no size of wire, no second fault.',
  rows: [
    {
      id: 'sound',
      condition: 'as it should be',
      hotNeutral: true,
      hotGround: true,
      neutralGround: false,
      source: seen('A'),
    },
    {
      id: 'ground-open',
      condition: 'ground open',
      hotNeutral: true,
      hotGround: false,
      neutralGround: false,
      source: seen('A'),
    },
    {
      id: 'neutral-open',
      condition: 'neutral open, nothing plugged in',
      hotNeutral: false,
      hotGround: true,
      neutralGround: false,
      source: seen('A'),
    },
    {
      id: 'neutral-open-loaded',
      condition: 'neutral open, a load plugged in',
      hotNeutral: false,
      hotGround: true,
      neutralGround: true,
      source: seen('B'),
    },
    {
      id: 'hot-open',
      condition: 'hot open, or no supply',
      hotNeutral: false,
      hotGround: false,
      neutralGround: false,
      source: seen('A'),
    },
    {
      id: 'hot-neutral-swapped',
      condition: 'hot and neutral exchanged',
      hotNeutral: true,
      hotGround: false,
      neutralGround: true,
      source: seen('A'),
    },
    {
      id: 'hot-ground-swapped',
      condition: 'hot and ground exchanged',
      hotNeutral: false,
      hotGround: true,
      neutralGround: true,
      source: seen('A'),
    },
    {
      id: 'swapped-ground-open',
      condition: 'hot and neutral exchanged and ground open',
      hotNeutral: true,
      hotGround: false,
      neutralGround: false,
      source: seen('A'),
    },
    {
      id: 'ground-open-loaded',
      condition: 'ground open, an appliance plugged in',
      hotNeutral: true,
      hotGround: false,
      neutralGround: true,
      source: seen('B'),
    },
    {
      id: 'neutral-ground-swapped',
      condition: 'neutral and ground exchanged',
      hotNeutral: true,
      hotGround: true,
      neutralGround: false,
      source: seen('C'),
    },
    {
      id: 'bootleg',
      condition: 'neutral jumped to ground at the outlet',
      hotNeutral: true,
      hotGround: true,
      neutralGround: false,
      source: seen('B'),
    },
    {
      id: 'bootleg-reversed',
      condition: 'hot and neutral exchanged, ground jumped to the neutral slot: the van’s skin is live',
      hotNeutral: true,
      hotGround: true,
      neutralGround: false,
      source: seen('C'),
    },
  ],
};

/** Every condition that lights these lamps; several may, and the most dangerous is among them. */
export function conditionsShowing(
  lamps: Pick<LampPattern, 'hotNeutral' | 'hotGround' | 'neutralGround'>,
): readonly LampPattern[] {
  return lampPatterns.rows.filter(
    (row) =>
      row.hotNeutral === lamps.hotNeutral &&
      row.hotGround === lamps.hotGround &&
      row.neutralGround === lamps.neutralGround,
  );
}
