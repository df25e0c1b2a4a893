import { parseDecimal } from '../../circuit/units.js';
import type { Issue, Result } from '../../errors.js';
import { one, type Typed } from '../page/form.js';

export const notYet = 'is a day that has not come yet';

/** The words of the fields, for the summary of what must be mended. */
export const labels = {
  serial: 'Serial number',
  calibrated: 'Last calibrated',
  due: 'Calibration holds until',
  from: 'From which day on',
  finding: 'What was found, and how',
  'ohms.percent': 'Ohms, % of reading',
  'ohms.counts': 'Ohms, counts',
  'ohms.resolution': 'Ohms, last digit',
  'ohms.overLimit': 'OL above',
  'volts.percent': 'Volts, % of reading',
  'volts.counts': 'Volts, counts',
  'volts.resolution': 'Volts, last digit',
  inputOhms: 'Input',
};

/** The form as an instrument: an accuracy block counts where any figure of it was typed. */
export function instrumentFrom(
  typed: Typed,
  today: string,
): { value: Record<string, unknown>; issues: Issue[] } {
  const issues: Issue[] = [];
  const figure = (field: string): number | undefined => {
    const text = one(typed, field).trim();
    if (text === '') return undefined;
    const value = parseDecimal(text);
    if (value === undefined) issues.push({ field, message: 'must be a number such as 0.5' });
    return value;
  };
  const block = (name: string, fields: readonly string[]) => {
    const entries = fields.map((field) => [field, figure(`${name}.${field}`)] as const);
    if (entries.every(([, value]) => value === undefined)) return undefined;
    for (const [field, value] of entries) {
      if (value === undefined && !issues.some((i) => i.field === `${name}.${field}`))
        issues.push({ field: `${name}.${field}`, message: 'is needed with the other figures beside it' });
    }
    return Object.fromEntries(entries);
  };
  if (one(typed, 'calibrated') > today) issues.push({ field: 'calibrated', message: notYet });
  const value = {
    kind: one(typed, 'kind'),
    name: one(typed, 'name'),
    serial: one(typed, 'serial'),
    calibrated: one(typed, 'calibrated'),
    due: one(typed, 'due') || undefined,
    ohms: block('ohms', ['percent', 'counts', 'resolution', 'overLimit']),
    volts: block('volts', ['percent', 'counts', 'resolution']),
    inputOhms: figure('inputOhms'),
  };
  return { value, issues };
}

/** Figures that could not be read are told first; the rest of the form is judged all the same. */
export function withIssues<T>(issues: readonly Issue[], result: Result<T>): Result<T> {
  if (issues.length === 0) return result;
  const more = result.ok ? [] : result.issues.filter((i) => !issues.some((known) => known.field === i.field));
  return { ok: false, issues: [...more, ...issues] };
}
