import { readingRow } from '../../drawing/reading-row.js';
import { readingsAgainstLimits } from '../../drawing/readings-against-limits.js';
import type { ReadingStanding } from '../../steps/assessment.js';
import { type DrawnTwice, drawnTwice } from '../page/drawn.js';

/** The readings of a group that were judged by number, each against its limit; ohms and volts on scales of their own. */
export function readingScales(readings: readonly ReadingStanding[], prefix: string): DrawnTwice[] {
  return (['ohms', 'volts'] as const).flatMap((quantity) => {
    const rows = readings.flatMap((reading) => readingRow(reading, quantity));
    if (rows.length === 0) return [];
    return [
      drawnTwice(`${prefix}-${quantity}`, (layout) => readingsAgainstLimits({ layout, quantity, rows })),
    ];
  });
}
