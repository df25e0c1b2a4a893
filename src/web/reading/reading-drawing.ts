import { readingRow } from '../../drawing/reading-row.js';
import { readingsAgainstLimits } from '../../drawing/readings-against-limits.js';
import { sceneToSvg } from '../../drawing/scene-to-svg.js';
import type { ReadingStanding } from '../../steps/assessment.js';
import type { CircuitDrawn } from '../job/job-drawing.js';

/** The readings of a group that were judged by number, each against its limit; ohms and volts on scales of their own. */
export function readingScales(readings: readonly ReadingStanding[], prefix: string): CircuitDrawn[] {
  return (['ohms', 'volts'] as const).flatMap((quantity) => {
    const rows = readings.flatMap((reading) => readingRow(reading, quantity));
    if (rows.length === 0) return [];
    const draw = (layout: 'wide' | 'narrow') => ({
      svg: sceneToSvg(readingsAgainstLimits({ layout, quantity, rows }), {
        idPrefix: `${prefix}-${quantity}-${layout}`,
      }),
    });
    return [{ wide: draw('wide'), narrow: draw('narrow') }];
  });
}
