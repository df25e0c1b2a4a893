import { limitInBothUnits } from '../circuit/quantity-text.js';
import { inSi, notANumber, parseDecimal } from '../circuit/units.js';
import type { Issue, Result } from '../errors.js';
import type { Answer, NewEntry } from '../logbook/entry.js';
import { instrumentsNamed } from '../logbook/instrument-snapshot.js';
import { refuse, type WithJob } from './proposal.js';
import type { Ask } from './step.js';
import { parseSubject } from './subject.js';

type StepDone = Extract<NewEntry, { kind: 'step done' }>;
type StepReopened = Extract<NewEntry, { kind: 'step reopened' }>;

/** A step may be done when nothing bars it and every thing it asks is answered. A value outside its limit raises a defect. */
export function acceptStepDone({ entry, job, log, by }: WithJob<StepDone>): Result<NewEntry[]> {
  const subject = parseSubject(entry.subject);
  const standing = subject?.of === 'step' ? job.steps.get(subject.id) : undefined;
  if (standing === undefined) return refuse('step', 'This circuit has no such step.');
  const { step } = standing;
  if (step.asks.length === 0)
    return refuse('step', 'This step asks nothing: it is done when its readings and lines are.');
  if (standing.status === 'held' || standing.status === 'waiting') {
    return { ok: false, issues: standing.because.map(({ text: message }) => ({ field: 'step', message })) };
  }
  const unknown = Object.keys(entry.body.answers).filter((id) => !step.asks.some((a) => a.id === id));
  const named = instrumentsNamed(entry.body.answers);
  const stranger = entry.body.instruments?.find((i) => !named.includes(i.id));
  const issues = [
    ...(stranger ? [{ field: 'instrument', message: `no value was measured with ${stranger.name}` }] : []),
    ...unknown.map((field) => ({ field, message: 'is not asked by this step' })),
    ...step.asks.flatMap((ask) => issuesOf(ask, entry.body.answers[ask.id], { log, by })),
  ];
  if (issues.length > 0) return { ok: false, issues };
  const off = step.asks.flatMap((ask) => offLimit(ask, entry.body.answers[ask.id]));
  const raised: NewEntry[] = off.map((what) => ({
    kind: 'defect raised',
    subject: entry.subject,
    body: { what, suspects: [] },
  }));
  return { ok: true, value: [entry, ...raised] };
}

function issuesOf(
  ask: Ask,
  answer: Answer | undefined,
  { log, by }: Pick<WithJob<StepDone>, 'log' | 'by'>,
): Issue[] {
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
  if (ask.kind === 'person' && ask.another && answer.kind === 'person' && isSameName(answer.name, by.name))
    return wrong('is your own name: name the other person, or write “alone” and why');
  if (ask.kind === 'photo' && answer.kind === 'photo') {
    const absent = answer.photos.filter((id) => !log.photos.some((p) => p.body.photo === id));
    return absent.length === 0 ? [] : wrong('names a photo that this job does not have');
  }
  return [];
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

function offLimit(ask: Ask, answer: Answer | undefined): string[] {
  if (ask.kind !== 'value' || answer?.kind !== 'value') return [];
  const under = ask.min !== undefined && answer.si < ask.min * (1 - 1e-9);
  const over = ask.max !== undefined && answer.si > ask.max * (1 + 1e-9);
  if (!under && !over) return [];
  const [bound, side] = under ? ([ask.min, 'least'] as const) : ([ask.max, 'most'] as const);
  const limit = limitInBothUnits(ask.quantity, bound as number, answer.unit, ask.units, side);
  return [
    `${ask.label}: ${`${answer.typed} ${answer.unit}`.trim()} is ${under ? 'under' : 'over'} its ${side}, ${limit}.`,
  ];
}

/** A done step can be opened again, with its reason. */
export function acceptReopened({ entry, log }: WithJob<StepReopened>): Result<NewEntry[]> {
  const last = log.steps.get(entry.subject)?.at(-1);
  return last?.kind === 'step done'
    ? { ok: true, value: [entry] }
    : refuse('step', 'This step is not done: there is nothing to open again.');
}
