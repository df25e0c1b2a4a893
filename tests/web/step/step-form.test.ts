import { expect, test } from 'vitest';
import type { Answer } from '../../../src/logbook/entry.js';
import type { Instrument } from '../../../src/logbook/fold-shop.js';
import { stepsOf } from '../../../src/steps/steps-of.js';
import { answersFrom, askField, askLabel, stepDone } from '../../../src/web/step/step-form.js';
import { demoCircuit } from '../../circuit/demo-circuit.js';

const driver = {
  id: 'driver-1',
  name: 'Torque driver',
  kind: 'torque-driver',
  serial: 'T-7',
  calibrated: '2026-01-05',
  due: '2026-07-05',
  retired: false,
} as unknown as Instrument;

test('what is asked has the shop’s units first', () => {
  const ask = {
    kind: 'tick',
    id: 'reach',
    label: 'No place is more than 1.8 m (6 ft) from an outlet',
  } as const;
  expect(askLabel(ask, 'imperial')).toBe('No place is more than 6 ft (1.8 m) from an outlet');
  expect(askLabel({ ...ask, optional: true }, 'metric')).toBe(`${ask.label} (if it applies)`);
});

test('a step keeps the instrument that a value of it names, as it is on the day, and none that nothing names', () => {
  const torque: Answer = { kind: 'value', si: 1.58, typed: '14', unit: 'in-lbf', instrument: driver.id };
  const kept = stepDone({ torque, tug: { kind: 'tick' } }, driver);
  expect(kept.instruments).toEqual([
    {
      id: 'driver-1',
      kind: 'torque-driver',
      name: 'Torque driver',
      serial: 'T-7',
      calibrated: '2026-01-05',
      due: '2026-07-05',
    },
  ]);
  expect(stepDone({ tug: { kind: 'tick' } }, driver)).toEqual({ answers: { tug: { kind: 'tick' } } });
  expect(stepDone({ torque }, undefined)).toEqual({ answers: { torque } });
});

test('a height in feet and inches is kept in inches, as exact as the tape; one in another unit than the field’s is refused', () => {
  const ask = stepsOf(demoCircuit())
    .flatMap((step) => step.asks)
    .find((a) => a.kind === 'value' && a.quantity === 'length')!;
  const sent = (text: string, unit: string) =>
    answersFrom([ask], { [askField(ask.id)]: text, [`${askField(ask.id)}.unit`]: unit }, [], undefined);
  expect(sent(`2' 6 1/2"`, 'ft').answers[ask.id]).toEqual({
    kind: 'value',
    si: 30.5 * 0.0254,
    typed: '30.5',
    unit: 'in',
  });
  expect(sent('0.775', 'm').answers[ask.id]).toMatchObject({ typed: '0.775', unit: 'm' });
  expect(sent('31 in', 'm')).toMatchObject({
    answers: {},
    issues: [{ message: expect.stringContaining('is not a number') }],
  });
  expect(sent('31', 'rods')).toMatchObject({ answers: {}, issues: [{ message: 'has no unit “rods”' }] });
});
