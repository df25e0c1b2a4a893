import { inBothUnits, limitInBothUnits } from '../../circuit/quantity-text.js';
import { readFigure } from '../../circuit/typed-figure.js';
import {
  inSi,
  noSuchUnit,
  notANumber,
  quantities,
  type UnitSystem,
  unitFactor,
} from '../../circuit/units.js';
import { unitsFirst } from '../../circuit/units-first.js';
import type { Issue } from '../../errors.js';
import type { Answer, EntryBody, EntryOf } from '../../logbook/entry.js';
import type { Instrument } from '../../logbook/fold-shop.js';
import { instrumentsNamed, snapshotOf } from '../../logbook/instrument-snapshot.js';
import type { JobLog } from '../../logbook/job-log.js';
import type { Ask } from '../../steps/step.js';
import { many, one, overLong, type Typed } from '../page/form.js';
import { givenText } from '../words/entry-words.js';

/** The name of an ask's field on the page; the rules name an ask by its id alone. */
export const askField = (id: string) => `ask.${id}`;
/** The tick beside an ask that stands for the value offered there: "14 in-lbf". */
const sameField = (id: string) => `${askField(id)}.same`;

/** What was typed for a step, as answers. Where a figure cannot be read the sentence stands beside its field. */
export function answersFrom(
  asks: readonly Ask[],
  typed: Typed,
  photos: readonly EntryOf<'photo added'>[],
  instrument: string | undefined,
): { answers: Record<string, Answer>; issues: Issue[] } {
  const answers: Record<string, Answer> = {};
  const issues: Issue[] = [];
  for (const ask of asks) {
    const answer = answerFrom(ask, typed, photos, instrument, issues);
    if (answer !== undefined) answers[ask.id] = answer;
  }
  return { answers, issues };
}

/** A step's answers with the instrument that its values name, as it is today. */
export function stepDone(
  answers: Readonly<Record<string, Answer>>,
  instrument: Instrument | undefined,
): EntryBody<'step done'> {
  return instrument !== undefined && instrumentsNamed(answers).includes(instrument.id)
    ? { answers, instruments: [snapshotOf(instrument)] }
    : { answers };
}

function answerFrom(
  ask: Ask,
  typed: Typed,
  photos: readonly EntryOf<'photo added'>[],
  instrument: string | undefined,
  issues: Issue[],
): Answer | undefined {
  const field = askField(ask.id);
  const text = one(typed, field).trim();
  switch (ask.kind) {
    case 'tick':
      return many(typed, field).includes('yes') ? { kind: 'tick' } : undefined;
    case 'choice':
      return text === '' ? undefined : { kind: 'choice', value: text.slice(0, 60) };
    case 'note':
      issues.push(...overLong(field, text, 2000));
      return text === '' ? undefined : { kind: 'note', text: text.slice(0, 2000) };
    case 'person':
      issues.push(...overLong(field, text, 80));
      return text === '' ? undefined : { kind: 'person', name: text.slice(0, 80) };
    case 'photo': {
      const ids = [...new Set(photosOf(ask, photos).map((p) => p.body.photo))].slice(-20);
      return ids.length === 0 ? undefined : { kind: 'photo', photos: ids };
    }
    case 'value': {
      const same = one(typed, sameField(ask.id)).trim();
      if (text !== '' && same !== '') {
        issues.push({ field, message: 'is typed, and the value beside it is ticked: keep one of the two' });
        return undefined;
      }
      return valueFrom(
        ask,
        text !== '' ? [text, one(typed, `${field}.unit`)] : same.split(' '),
        instrument,
        issues,
      );
    }
  }
}

function valueFrom(
  ask: Extract<Ask, { kind: 'value' }>,
  [text = '', unit = '']: readonly string[],
  instrument: string | undefined,
  issues: Issue[],
): Answer | undefined {
  const field = askField(ask.id);
  if (text === '') return undefined;
  const figure = readFigure(text, ask.quantity, unit);
  const si = figure && inSi(ask.quantity, figure.value, figure.unit);
  if (unitFactor(ask.quantity, unit) === undefined) issues.push({ field, message: noSuchUnit(unit) });
  else if (figure === undefined || si === undefined) issues.push({ field, message: notANumber(text) });
  else if (figure.typed.length > 30) issues.push({ field, message: 'has more digits than any meter shows' });
  else
    return {
      kind: 'value',
      si,
      typed: figure.typed,
      unit: figure.unit,
      ...(instrument === undefined ? {} : { instrument }),
    };
  return undefined;
}

/** The photos that were added at a step, oldest first. */
export function photosOfStep({ photos }: Pick<JobLog, 'photos'>, step: string): EntryOf<'photo added'>[] {
  return photos.filter((p) => p.subject === `step:${step}`);
}

/** The photos of a step that count for one ask: those added for it. */
export function photosOf(
  ask: { readonly id: string },
  photos: readonly EntryOf<'photo added'>[],
): readonly EntryOf<'photo added'>[] {
  return photos.filter((p) => p.body.ask === ask.id);
}

/** An ask as its template draws it, with what it should be said before it is measured. */
export function askModel(
  ask: Ask,
  units: UnitSystem,
  done: EntryOf<'step done'> | undefined,
  { offered, filled }: { offered?: string | undefined; filled?: number | undefined },
) {
  const given = done?.body.answers[ask.id];
  const common = {
    kind: ask.kind,
    name: askField(ask.id),
    label: askLabel(ask, units),
    another: ask.kind === 'person' && ask.another === true,
    filled,
    given: given === undefined ? undefined : givenText(ask, given),
  };
  if (ask.kind === 'choice')
    return { ...common, options: ask.options.map((o) => ({ value: o.value, label: o.label })) };
  if (ask.kind !== 'value') return common;
  const unit = ask.units[units];
  return {
    ...common,
    unit,
    // Without their factors: a figure that was read off a tool is never converted by the choice of its unit.
    units: Object.keys(quantities[ask.quantity]).map((value) => ({ value, label: unitLabel(value) })),
    expected:
      ask.expected === undefined ? undefined : inBothUnits(ask.quantity, ask.expected, unit, ask.units),
    hint: limitText(ask, unit),
    offered: offered === undefined ? undefined : { name: sameField(ask.id), value: offered },
  };
}

/** What is asked, with the shop’s units first, and whether it may be left out. */
export function askLabel({ label, optional }: Ask, units: UnitSystem): string {
  return unitsFirst(optional ? `${label} (if it applies)` : label, units);
}

/** "Limit: at least 12.6 in-lbf (1.42 N·m)." in the unit that is asked first, or nothing where the step sets no limit. */
function limitText(ask: Extract<Ask, { kind: 'value' }>, unit: string): string | undefined {
  const say = (si: number, side: 'least' | 'most') =>
    `at ${side} ${limitInBothUnits(ask.quantity, si, unit, ask.units, side)}`;
  if (ask.min !== undefined && ask.min === ask.max)
    return `Limit: ${limitInBothUnits(ask.quantity, ask.min, unit, ask.units, 'least')}.`;
  const parts = [
    ask.min === undefined ? undefined : say(ask.min, 'least'),
    ask.max === undefined ? undefined : say(ask.max, 'most'),
  ].filter((part) => part !== undefined);
  if (parts.length === 0) return undefined;
  const text = parts.join(', ');
  return `Limit: ${text}.`;
}

/** Units as the trade writes them. */
export function unitLabel(unit: string): string {
  return { cm3: 'cm³', in3: 'in³', '': 'pieces' }[unit] ?? unit;
}
