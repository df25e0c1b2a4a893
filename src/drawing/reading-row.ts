import type { ReadingStanding } from '../steps/assessment.js';
import type { ReadingRow } from './readings-against-limits.js';

/** A standing reading as a row of the picture; none where it was not taken, is no such quantity, or no limit judges it. */
export function readingRow(
  { planned, taken, verdict, uncertainty }: ReadingStanding,
  quantity: 'ohms' | 'volts',
): ReadingRow[] {
  const shown = taken?.body.shown;
  const { limit, expected } = planned;
  if (shown === undefined || limit === undefined || verdict === 'missing' || verdict === 'noted') return [];
  if (shown.kind === 'answer' || shown.kind === 'lamps') return [];
  if ((shown.kind === 'ohms') !== (quantity === 'ohms')) return [];
  return [
    {
      label: `${planned.code} ${planned.title}`,
      value: shown.kind === 'ohms' ? shown.ohms : shown.volts,
      uncertainty: uncertainty ?? 0,
      rangeOhm: shown.kind === 'ohms' ? shown.rangeOhms : undefined,
      expected: typeof expected.value === 'boolean' ? undefined : expected.value,
      upper: limit.upper,
      lower: limit.lower,
      verdict,
    },
  ];
}
