import { type PublishedTable, rowWhere } from './published-table.js';
import type { Source } from './source.js';

interface BreakerRow {
  readonly id: 'hold' | 'overload-135' | 'overload-200' | 'magnetic-band';
  readonly text: string;
  readonly low: number;
  readonly high: number;
  readonly unit: 'times its rating' | 'A';
  readonly seconds: number | undefined;
  readonly source: Source;
}

/** When a small moulded-case breaker (up to 30 A) must open. */
export const breakerTripTimes: PublishedTable<BreakerRow> = {
  title: 'When a small breaker opens',
  unit: 'times its rating',
  source: { publication: 'UL 489', clause: 'calibration', sure: 'B' },
  rows: [
    {
      id: 'hold',
      text: 'holds its rating in free air',
      low: 1,
      high: 1,
      unit: 'times its rating',
      seconds: undefined,
      source: { publication: 'UL 489', clause: '100 % at 40 °C', sure: 'B' },
    },
    {
      id: 'overload-135',
      text: 'opens within an hour',
      low: 1.35,
      high: 1.35,
      unit: 'times its rating',
      seconds: 3600,
      source: { publication: 'UL 489', clause: '135 %', sure: 'C' },
    },
    {
      id: 'overload-200',
      text: 'opens within two minutes',
      low: 2,
      high: 2,
      unit: 'times its rating',
      seconds: 120,
      source: { publication: 'UL 489', clause: '200 %, up to 30 A', sure: 'B' },
    },
    {
      id: 'magnetic-band',
      text: 'from here a 15 A breaker may open at once; below, in seconds by heat',
      low: 120,
      high: 200,
      unit: 'A',
      seconds: undefined,
      source: { publication: 'Judgement of this project', clause: 'North American 15 A breakers', sure: 'D' },
    },
  ],
};

/** The row by its id. */
export function breakerTrip(id: BreakerRow['id']): BreakerRow {
  return rowWhere(breakerTripTimes, (row) => row.id === id)!;
}
