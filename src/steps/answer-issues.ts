import { limitInBothUnits } from '../circuit/quantity-text.js';
import { inSi, notANumber, parseDecimal } from '../circuit/units.js';
import type { Issue } from '../errors.js';
import type { Answer, EntryBody } from '../logbook/entry.js';
import type { Ask, Step } from './step.js';

type Done = EntryBody<'step done'>;

/**
 * What of a step's answers is not what the step asks today, field by field; empty where they answer all of it. `by` is the name of
 * whoever wrote them. The gate asks this of what is to be written, and the assessment of what was written, perhaps when less was asked.
 */
export function answerIssues(step: Step, body: Done, by: string): Issue[] {
  return [
    ...step.asks.flatMap((ask) => issuesOf(ask, body.answers[ask.id], by)),
    ...step.asks.flatMap((ask) => besideIssues(step, ask, body)),
    ...driverIssues(step, body),
  ];
}

function issuesOf(ask: Ask, answer: Answer | undefined, by: string): Issue[] {
  const wrong = (message: string): Issue[] => [{ field: ask.id, message }];
  if (answer === undefined) return ask.optional ? [] : wrong(missing[ask.kind]);
  if (answer.kind !== ask.kind) return wrong('is not answered in the way it is asked');
  if (ask.kind === 'choice' && answer.kind === 'choice') {
    const option = ask.options.find((o) => o.value === answer.value);
    if (option === undefined) return wrong('choose one of the list');
    return option.refused === undefined ? [] : wrong(option.refused);
  }
  if (ask.kind === 'value' && answer.kind === 'value') {
    const typed = parseDecimal(answer.typed);
    if (typed === undefined) return wrong(notANumber(answer.typed));
    const si = inSi(ask.quantity, typed, answer.unit);
    if (si === undefined) return wrong(`has no unit “${answer.unit}”`);
    if (typed < 0 && !ask.quantity.startsWith('temperature')) return wrong('must not be negative');
    if (Math.abs(si - answer.si) > 1e-9 * Math.max(1, Math.abs(answer.si)))
      return wrong('does not agree with what was typed');
    return [];
  }
  if (ask.kind === 'person' && ask.another && answer.kind === 'person' && isSameName(answer.name, by))
    return wrong('is your own name: name the other person, or write “alone” and why');
  return [];
}

/** An option that says that something is written beside it holds only where it is. */
function besideIssues({ asks }: Step, ask: Ask, { answers }: Done): Issue[] {
  const answer = answers[ask.id];
  if (ask.kind !== 'choice' || answer?.kind !== 'choice') return [];
  const option = ask.options.find((o) => o.value === answer.value);
  const needs = option?.needs ?? [];
  const absent = asks.filter((a) => needs.includes(a.id) && answers[a.id] === undefined).map((a) => a.label);
  return absent.length === 0
    ? []
    : [
        {
          field: ask.id,
          message: `“${option?.label}” is chosen, and nothing is written at: ${absent.join('; ')}`,
        },
      ];
}

/** Alike whatever the case, and however it was spaced. */
function isSameName(one: string, other: string): boolean {
  // By letters and figures alone: a dot, a second space or a mark without a shape makes nobody another.
  const plain = (name: string) =>
    name
      .normalize('NFKC')
      .toLowerCase()
      .replace(/[^\p{L}\p{M}\p{N}]+/gu, '');
  return plain(one) === plain(other);
}

const missing: Record<Ask['kind'], string> = {
  tick: 'is not ticked yet',
  choice: 'needs a choice',
  value: 'needs a value',
  note: 'needs a note',
  person: 'needs a name',
  photo: 'needs a photo',
};

/**
 * A torque that is held to a marking is worth what its driver is worth: it names one, and the entry keeps that one's calibration as it
 * was on that day.
 */
function driverIssues({ asks }: Step, { answers, instruments = [] }: Done): Issue[] {
  const messages = asks.flatMap((ask) => {
    const answer = answers[ask.id];
    if (ask.kind !== 'value' || ask.instrument !== 'torque-driver' || answer?.kind !== 'value') return [];
    if (ask.min === undefined && ask.max === undefined) return [];
    if (answer.instrument === undefined)
      return ['say which torque screwdriver: a torque of none that is named proves nothing'];
    const named = instruments.find((i) => i.id === answer.instrument);
    if (named === undefined)
      return ['the calibration of the torque screwdriver on that day was not written down'];
    return named.kind === ask.instrument ? [] : [`${named.name} is no torque screwdriver`];
  });
  return [...new Set(messages)].map((message) => ({ field: 'instrument', message }));
}

/** The values among a step's answers that lie outside their limits, each in a sentence. */
export function offLimits(step: Step, { answers }: Pick<Done, 'answers'>): string[] {
  return step.asks.flatMap((ask) => offLimit(ask, answers[ask.id]));
}

function offLimit(ask: Ask, answer: Answer | undefined): string[] {
  if (ask.kind !== 'value' || answer?.kind !== 'value') return [];
  const under = ask.min !== undefined && answer.si < ask.min * (1 - 1e-9);
  const over = ask.max !== undefined && answer.si > ask.max * (1 + 1e-9);
  if (!under && !over) return [];
  const [bound, side] = under ? ([ask.min, 'least'] as const) : ([ask.max, 'most'] as const);
  const limit = limitInBothUnits(ask.quantity, bound as number, answer.unit, ask.units, side);
  return [
    `${ask.label}: ${`${answer.typed} ${answer.unit}`.trim()} is ${under ? 'under' : 'over'} the limit, ${limit}.`,
  ];
}
