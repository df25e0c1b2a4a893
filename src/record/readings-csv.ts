import type { Assessment, ReadingStanding } from '../steps/assessment.js';
import { shownOnPaper } from './document/shown-text.js';

const head = [
  ...['code', 'reading', 'stage', 'required', 'expected', 'limit', 'lower', 'upper'],
  ...['shown', 'value', 'unit', 'uncertainty', 'verdict', 'by', 'instrument', 'taken_utc'],
];

/**
 * Every reading of a job as it stands, a line each: values in Ω or V with a point, over-limit with an empty value, times in UTC.
 * @source RFC 4180
 */
export function readingsCsv(job: Assessment): string {
  const rows = [...job.readings.values()].map(row);
  return [head, ...rows].map((cells) => `${cells.map(cell).join(',')}\r\n`).join('');
}

function row({ planned, taken, verdict, uncertainty }: ReadingStanding): (string | number)[] {
  const { code, title, stage, required, expected, limit } = planned;
  const { value, unit } = measured(taken?.body.shown);
  return [
    ...[code, title, stage, required ? 'yes' : 'no', expected.text, limit?.text ?? ''],
    ...[limit?.lower ?? '', limit?.upper ?? ''],
    ...[
      taken === undefined ? '' : shownOnPaper(taken.body.shown),
      value,
      unit,
      uncertainty === undefined ? '' : Number(uncertainty.toPrecision(6)),
      verdict,
    ],
    ...[taken?.by.name ?? '', taken?.body.instrument?.serial ?? '', taken?.at ?? ''],
  ];
}

type Shown = NonNullable<ReadingStanding['taken']>['body']['shown'];

function measured(shown: Shown | undefined): { value: number | ''; unit: string } {
  if (shown?.kind === 'ohms') return { value: shown.ohms ?? '', unit: 'Ω' };
  if (shown?.kind === 'volts' || shown?.kind === 'loaded-volts') return { value: shown.volts, unit: 'V' };
  return { value: '', unit: '' };
}

/** A text that a spreadsheet would take for a formula is led by an apostrophe. */
function cell(value: string | number): string {
  if (typeof value === 'number') return String(value);
  const text = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
