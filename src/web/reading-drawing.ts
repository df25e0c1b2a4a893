import { type ReadingRow, readingsAgainstLimits } from '../drawing/readings-against-limits.js';
import { sceneToSvg } from '../drawing/scene-to-svg.js';
import type { ReadingStanding } from '../steps/assessment.js';
import type { CircuitDrawn } from './job-drawing.js';

/** The readings of a group that were judged by number, each against its limit; ohms and volts on scales of their own. */
export function readingScales(readings: readonly ReadingStanding[], prefix: string): CircuitDrawn[] {
  return (['ohms', 'volts'] as const).flatMap((quantity) => {
    const rows = readings.flatMap((reading) => rowOf(reading, quantity));
    if (rows.length === 0) return [];
    const draw = (layout: 'wide' | 'narrow') => ({
      svg: sceneToSvg(readingsAgainstLimits({ layout, quantity, rows }), {
        idPrefix: `${prefix}-${quantity}-${layout}`,
      }),
    });
    return [{ wide: draw('wide'), narrow: draw('narrow') }];
  });
}

function rowOf(
  { planned, taken, verdict, uncertainty }: ReadingStanding,
  quantity: 'ohms' | 'volts',
): ReadingRow[] {
  const shown = taken?.body.shown;
  const { limit, expected } = planned;
  if (shown === undefined || limit === undefined || verdict === 'missing') return [];
  if (shown.kind === 'answer' || shown.kind === 'lamps') return [];
  if ((shown.kind === 'ohms') !== (quantity === 'ohms')) return [];
  return [
    {
      label: `${planned.code} ${planned.title}`,
      value: shown.kind === 'ohms' ? shown.ohms : shown.volts,
      uncertainty: uncertainty ?? 0,
      verdict,
      ...(shown.kind === 'ohms' && shown.rangeOhms !== undefined ? { rangeOhm: shown.rangeOhms } : {}),
      ...(typeof expected.value === 'boolean' ? {} : { expected: expected.value }),
      ...(limit.upper === undefined ? {} : { upper: limit.upper }),
      ...(limit.lower === undefined ? {} : { lower: limit.lower }),
    },
  ];
}
