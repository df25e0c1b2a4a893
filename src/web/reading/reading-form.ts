import { ohmsText } from '../../circuit/quantity-text.js';
import { readFigure } from '../../circuit/typed-figure.js';
import { isOverRange, noSuchUnit, notANumber, unitFactor } from '../../circuit/units.js';
import type { Issue, Result } from '../../errors.js';
import type { Shown } from '../../logbook/entry.js';
import type { Instrument } from '../../logbook/fold-shop.js';
import type { PlannedReading } from '../../steps/step.js';
import { many, one, type Typed } from '../page/form.js';

/** What a reading's form says that the meter showed, or what must be mended on it. */
export function shownFrom(planned: PlannedReading, typed: Typed): Result<Shown> {
  const issues: Issue[] = [];
  const shown = read(planned, typed, issues);
  return issues.length > 0 || shown === undefined ? { ok: false, issues } : { ok: true, value: shown };
}

function read(planned: PlannedReading, typed: Typed, issues: Issue[]): Shown | undefined {
  if (planned.what === 'three-lamp') {
    const lit = many(typed, 'lamps');
    return {
      kind: 'lamps',
      hotNeutral: lit.includes('hotNeutral'),
      hotGround: lit.includes('hotGround'),
      neutralGround: lit.includes('neutralGround'),
    };
  }
  if (planned.test === 'observation') {
    const answer = one(typed, 'answer');
    if (answer === 'yes' || answer === 'no') return { kind: 'answer', answer: answer === 'yes' };
    issues.push({ field: 'answer', message: 'say yes or no' });
    return undefined;
  }
  if (planned.test === 'resistance') return readOhms(typed, issues);
  const volts = figure(typed, 'volts', issues, 'voltage', 'V');
  if (planned.test === 'voltage') {
    const lowImpedance = many(typed, 'lowImpedance').includes('yes');
    return volts === undefined ? undefined : { kind: 'volts', volts, lowImpedance };
  }
  const amps = figure(typed, 'amps', issues, 'current', 'A');
  if (amps !== undefined && amps <= 0) issues.push({ field: 'amps', message: 'must be above 0 A' });
  return volts === undefined || amps === undefined ? undefined : { kind: 'loaded-volts', volts, amps };
}

function readOhms(typed: Typed, issues: Issue[]): Shown | undefined {
  const over = many(typed, 'over').includes('yes') || isOverRange(one(typed, 'ohms'));
  if (!over) {
    const ohms = figure(typed, 'ohms', issues, 'resistance', one(typed, 'ohms.unit') || 'Ω');
    return ohms === undefined ? undefined : { kind: 'ohms', ohms };
  }
  if (one(typed, 'ohms').trim() !== '' && many(typed, 'over').includes('yes')) {
    issues.push({ field: 'ohms', message: 'is typed and OL is ticked: keep one of the two' });
    return undefined;
  }
  if (one(typed, 'range').trim() === '') return { kind: 'ohms', ohms: null };
  const range = figure(typed, 'range', issues, 'resistance', one(typed, 'range.unit') || 'MΩ');
  if (range === 0) issues.push({ field: 'range', message: 'must be above 0' });
  return range === undefined ? undefined : { kind: 'ohms', ohms: null, rangeOhms: range };
}

function figure(
  typed: Typed,
  field: string,
  issues: Issue[],
  quantity: 'voltage' | 'current' | 'resistance',
  unit: string,
): number | undefined {
  const text = one(typed, field).trim();
  const value = readFigure(text, quantity, unit)?.value;
  const factor = unitFactor(quantity, unit);
  if (text === '') issues.push({ field, message: 'type what the meter showed' });
  else if (quantity === 'voltage' && isOverRange(text)) issues.push({ field, message: overVolts });
  else if (value === undefined)
    issues.push({
      field,
      message: `${notANumber(text)}${field === 'ohms' && !/\d/.test(text) ? ': where the meter showed that it is over its range, type OL' : ''}`,
    });
  else if (value < 0)
    issues.push({
      field,
      message: quantity === 'resistance' ? minusOhms : 'must not be negative: type it without a sign',
    });
  else if (factor === undefined) issues.push({ field, message: noSuchUnit(unit) });
  else return value * factor;
  return undefined;
}

/** Written without its sign it would pass for a resistance. */
const minusOhms =
  'no resistance is under 0: volts stand on these points, or the leads were nulled wrongly. Look for volts there first, null the leads again, then read once more';
const overVolts =
  'OL in volts is more than that range shows: take these points as live, and read again on a range of 200 V or more';

/** What this instrument cannot have shown: ohms beyond its top range, or a range that it does not have. */
export function beyondInstrument(shown: Shown, instrument: Instrument | undefined): Issue[] {
  const end = instrument?.ohms?.overLimit;
  if (shown.kind !== 'ohms' || end === undefined) return [];
  const message = `${instrument!.name} shows OL above ${ohmsText(end, 4)}: look at the figure and its unit, or choose the meter that showed it`;
  if (shown.ohms !== null && shown.ohms > end) return [{ field: 'ohms', message }];
  return (shown.rangeOhms ?? 0) > end ? [{ field: 'range', message }] : [];
}

/** Slips that need no telling, each with the reason that is written for it. */
export const slips = {
  typed: 'Typed wrong.',
  'set-up': 'The set-up was wrong: range, leads or probes.',
} as const;

/** What a form that takes a reading again says of the one before: the reason for which it is struck, or undefined where it stands. */
export function slipFrom(typed: Typed): string | undefined {
  const slip = one(typed, 'before');
  return slip === 'typed' || slip === 'set-up' ? slips[slip] : undefined;
}
