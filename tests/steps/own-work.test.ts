import { expect, test } from 'vitest';
import type { NewEntry } from '../../src/logbook/entry.js';
import { foldJob } from '../../src/logbook/job-log.js';
import { accept } from '../../src/steps/accept.js';
import { type Asker, judgesOwnWork } from '../../src/steps/proposal.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { fitter, played } from './played.js';

const done = played(demoCircuit(), { until: (job) => job.next?.step.id === 'issue-record' });
const log = foldJob(done);
const doer: Asker = { ...fitter, roles: ['fitter', 'checker'] };
const tam: Asker = { id: 'p-tam', name: 'Tam Whitlock', roles: ['checker'] };
const second: NewEntry = {
  kind: 'second look signed',
  subject: 'job',
  body: { statement: 'Looked.', signature: { name: 'x', strokes: [] } },
};

test('whoever did the work does not sign the second look under another name while someone else can', () => {
  for (const name of [doer.name, 'I. Okafor', 'Tam Whitlock']) {
    const refused = accept(log, second, { by: { ...doer, name }, people: [{ ...doer, name }, tam] });
    expect(refused).toEqual({
      ok: false,
      issues: [{ field: 'person', message: 'The second look is another person’s.' }],
    });
  }
  expect(judgesOwnWork(log, second.kind, { by: tam, people: [doer, tam] })).toBe(false);
});

test('nor does whoever mended there, while someone else can; a sealed logbook is not held to it', () => {
  const per: Asker = { id: 'p-per', name: 'Per Lund', roles: ['fitter', 'checker'] };
  const mended = foldJob([
    ...done,
    { ...done.at(-1)!, kind: 'defect reworked', by: { id: per.id, name: per.name } } as (typeof done)[number],
  ]);
  const people = [doer, per, tam];
  expect(judgesOwnWork(mended, second.kind, { by: per, people })).toBe(true);
  expect(judgesOwnWork(mended, second.kind, { by: per, people: [doer, per] })).toBe(false);
  expect(judgesOwnWork(mended, second.kind, { by: per, people, sealed: true })).toBe(false);
  expect(judgesOwnWork(log, second.kind, { by: per, people })).toBe(false);
});

test('nor do they concede it while another may, be that a checker or a keeper', () => {
  const concession: NewEntry = { kind: 'concession granted', subject: 'step:bond', body: { reason: 'x' } };
  for (const role of ['checker', 'keeper'] as const) {
    const refused = accept(log, concession, { by: doer, people: [doer, { ...tam, roles: [role] }] });
    expect(refused.ok ? '' : refused.issues[0]?.message, role).toMatch(/granted by another person/);
  }
  const alone = accept(log, concession, { by: doer, people: [doer, { ...tam, roles: ['fitter'] }] });
  expect(alone.ok ? '' : alone.issues[0]?.message).not.toMatch(/another person/);
});

test('a person who works alone judges their own work, and so may the second of two who both did steps', () => {
  expect(judgesOwnWork(log, second.kind, { by: doer, people: [doer] })).toBe(false);
  const shared = foldJob(
    done.map((entry, k) => (k % 2 === 0 ? entry : { ...entry, by: { id: tam.id, name: tam.name } })),
  );
  expect(judgesOwnWork(shared, second.kind, { by: tam, people: [doer, tam] })).toBe(false);
  expect(judgesOwnWork(shared, second.kind, { by: doer, people: [doer, tam] })).toBe(true);
});
