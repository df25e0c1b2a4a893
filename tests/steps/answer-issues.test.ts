import { expect, test } from 'vitest';
import type { Answer, EntryOf } from '../../src/logbook/entry.js';
import { answerIssues, offLimits } from '../../src/steps/answer-issues.js';
import { fitter, jobOf, played } from './played.js';

const whole = played();
const job = jobOf(whole);

/** What is wrong with a step as it was done, but for these answers; `by` writes it. */
function issues(id: string, answers: Record<string, Answer | undefined>, by = fitter.name) {
  const { step, done } = job.steps.get(id)!;
  const { body } = done as EntryOf<'step done'>;
  const kept = Object.entries({ ...body.answers, ...answers }).filter(([, a]) => a !== undefined);
  return answerIssues(step, { ...body, answers: Object.fromEntries(kept) as Record<string, Answer> }, by);
}
const anotherIn = [...job.steps.values()].find(({ step: { asks } }) =>
  asks.some((a) => a.kind === 'person' && a.another),
)!.step;
const another = anotherIn.asks.find((a) => a.kind === 'person' && a.another)!.id;

test('a choice is one of the list, and one that the step refuses is refused in its words', () => {
  const choose = (value: string) => issues('device-chosen', { 'open-neutral': { kind: 'choice', value } });
  expect(choose('accepted-by-us')).toEqual([]);
  expect(choose('made-up')).toEqual([{ field: 'open-neutral', message: 'choose one of the list' }]);
  expect(choose('open')[0]?.message).toMatch(/decided by name/);
});

test('who does a step may name themselves where nobody else is asked for, and nowhere else, however it is spelled', () => {
  const { name } = fitter;
  expect(issues('device-chosen', { 'decided-by': { kind: 'person', name } })).toEqual([]);
  for (const own of [name, name.toUpperCase(), `  ${name.replace(' ', '  ')}.`])
    expect(issues(anotherIn.id, { [another]: { kind: 'person', name: own } }), own).toEqual([
      { field: another, message: expect.stringMatching(/^is your own name/) },
    ]);
  expect(issues(anotherIn.id, { [another]: { kind: 'person', name: 'Tam Whitlock' } })).toEqual([]);
});

test('every thing that a step asks must be answered, in the way in which it is asked', () => {
  for (const { step, done } of job.steps.values())
    for (const ask of step.asks) {
      if (done === undefined || ask.optional || done.body.answers[ask.id] === undefined) continue;
      const field = ask.id;
      expect(issues(step.id, { [field]: undefined }), step.id).toContainEqual({
        field,
        message: expect.stringMatching(/^(?:needs a|is not ticked yet)/),
      });
      const other: Answer = ask.kind === 'tick' ? { kind: 'note', text: 'x' } : { kind: 'tick' };
      expect(issues(step.id, { [field]: other }), step.id).toContainEqual({
        field,
        message: 'is not answered in the way it is asked',
      });
    }
});

test('a value at its limit is within it, one beyond it is off, and no length or torque is negative', () => {
  const { step, done } = [...job.steps.values()].find(
    ({ step: { asks }, done: d }) =>
      d && asks.some((a) => a.kind === 'value' && a.min && a.max && a.instrument),
  )!;
  const ask = step.asks.find((a) => a.kind === 'value' && a.min !== undefined && a.max !== undefined)!;
  if (ask.kind !== 'value' || done === undefined) throw new Error('no such value');
  const at = (si: number) => {
    const answer = { ...(done.body.answers[ask.id] as Extract<Answer, { kind: 'value' }>), si };
    return offLimits(step, { answers: { [ask.id]: answer } }).length;
  };
  const { min = 0, max = 0 } = ask;
  expect([at(min), at(max), at(min * 0.99), at(max * 1.01)]).toEqual([0, 0, 1, 1]);
  const negative = { ...(done.body.answers[ask.id] as Extract<Answer, { kind: 'value' }>), typed: '-14' };
  expect(issues(step.id, { [ask.id]: negative })).toContainEqual({
    field: ask.id,
    message: 'must not be negative',
  });
  const { answers } = done.body;
  const given = answers[ask.id] as Extract<Answer, { kind: 'value' }>;
  expect(issues(step.id, { [ask.id]: given })).toEqual([]);
  expect(issues(step.id, { [ask.id]: { ...given, si: given.si * 1.001 } })).toEqual([
    { field: ask.id, message: 'does not agree with what was typed' },
  ]);
});
