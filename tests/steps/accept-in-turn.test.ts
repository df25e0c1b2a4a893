import { expect, test } from 'vitest';
import { demoMeter } from '../../seed-demo/demo-script.js';
import type { NewEntry } from '../../src/logbook/entry.js';
import { acceptInTurn } from '../../src/steps/accept-in-turn.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { checker, fitter, jobOf, logOf, played, propose } from './played.js';

const circuit = demoCircuit();
const subject = `reading:ground-path.${circuit.run[1]?.id}`;
const ready = played(circuit, { until: (job) => job.next?.step.id === 'ground-path' });
const shown = (ohms: number): NewEntry => ({
  kind: 'reading taken',
  subject,
  body: { shown: { kind: 'ohms', ohms }, note: '', instrument: demoMeter },
});
const failed = propose(ready, shown(14)).entries;
const slip: NewEntry = {
  kind: 'reading struck',
  subject,
  body: { reading: failed.length - 1, reason: 'Typed wrong.' },
};
const inTurn = (proposals: NewEntry[]) =>
  acceptInTurn(
    logOf(failed),
    proposals,
    { by: fitter, people: [fitter, checker] },
    '2026-09-16T10:00:00.000Z',
  );

test('a slip that is struck and taken again in one form closes its defect', () => {
  const answer = inTurn([slip, shown(0.04)]);
  expect(answer.ok && answer.value.map((e) => e.kind)).toEqual(['reading struck', 'reading taken']);
  const after = [slip, shown(0.04)].reduce((log, entry) => propose(log, entry).entries, failed);
  expect(jobOf(after).defects.map((d) => d.status)).toEqual(['closed']);
});

test('where it fails again it raises a defect of its own, which names the new reading', () => {
  const answer = inTurn([slip, shown(15)]);
  expect(answer.ok && answer.value.map((e) => e.kind)).toEqual([
    'reading struck',
    'reading taken',
    'defect raised',
  ]);
  expect(answer.ok && answer.value[2]?.body).toMatchObject({ reading: failed.length + 2 });
});

test('one that is refused refuses all', () => {
  const stranger = { ...slip, body: { reading: 1, reason: 'Typed wrong.' } } as NewEntry;
  expect(inTurn([stranger, shown(0.04)])).toMatchObject({ ok: false });
});
