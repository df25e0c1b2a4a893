import { expect, test } from 'vitest';
import { type Entry, type EntryOf, entryKinds, type NewEntry } from '../../src/logbook/entry.js';
import { inQuestion, sinceEntry } from '../../src/steps/since-record.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { logOf, played } from './played.js';

const done = played();
const described = done[0] as EntryOf<'job described'>;
const taken = done.filter((e) => e.kind === 'reading taken');

/** Entries behind others, as they would be written; of a body only what is read of it here. */
function behind(entries: readonly Entry[], ...more: (Pick<NewEntry, 'kind'> & Partial<Entry>)[]): Entry[] {
  const placed = more.map((entry, k) => ({ ...entries.at(-1)!, ...entry, seq: entries.length + k + 1 }));
  return [...entries, ...(placed as Entry[])];
}
const of = (kind: NewEntry['kind'], body: object, subject = 'job') =>
  ({ kind, subject, body }) as unknown as Pick<NewEntry, 'kind'>;
const issued = (revision: number) => of('record issued', { revision });
const withdrawn = (revision: number) => of('record withdrawn', { revision, reason: 'Another van.' });
const first = behind(done, issued(1));
const textsOf = (entries: readonly Entry[]) => inQuestion(logOf(entries)).map(({ text }) => text);

test('a record is in question by what changed its work or was found wrong, and by nothing that is done or said further', () => {
  const reading = { reading: taken[0]?.seq, entries: [taken[0]?.seq], from: '2026-09-01' };
  const about = { what: 'x', found: 'x', done: 'x', reason: 'x', answers: {}, disturbs: [] };
  const instrument = { id: 'm', name: 'Meter', serial: '7' };
  const rest = { ...described.body, circuit: demoCircuit({ note: 'x' }), rules: '', revision: 1, instrument };
  const grave = entryKinds.filter((kind) => {
    if (kind === 'record withdrawn') return false;
    return textsOf(behind(first, of(kind, { ...rest, ...reading, ...about }, taken[0]?.subject))).length > 0;
  });
  expect(grave).toEqual([
    'circuit set',
    'step reopened',
    'reading struck',
    'defect raised',
    'instrument questioned',
  ]);
});

test('where the revision that took its place was withdrawn, the one that stands again is in question', () => {
  const second = behind(first, issued(2));
  expect(textsOf(behind(second, withdrawn(2)))).toEqual(['Revision 2 was withdrawn: Another van.']);
  expect(textsOf(behind(second, withdrawn(1)))).toEqual([]);
  expect(textsOf(behind(second, withdrawn(1), withdrawn(2)))).toEqual([]);
});

test('another description is told field by field, and one that says the same is not', () => {
  const { vehicle, owner } = described.body;
  const changed = {
    ...described.body,
    owner: 'Mara Lind',
    vehicle: { ...vehicle, plate: 'R 12', vin: 'X9' },
  };
  const [said, ...more] = sinceEntry(
    logOf(behind(first, of('job described', changed), of('job described', { ...changed }))),
    first.length,
  );
  expect(more).toEqual([]);
  expect(said?.text).toBe(
    `The description was changed: owner: ${owner} → Mara Lind; plate: none → R 12; VIN: none → X9`,
  );
});

test('what was done and read again is one line each, and of what an instrument gave six are named and the others counted', () => {
  const twice = (kind: NewEntry['kind']) => {
    const own = done.filter((e) => e.kind === kind);
    const again = [own[0]!, own[1]!, own[0]!].map(({ subject, body }) => of(kind, body, subject));
    return sinceEntry(logOf(behind(first, ...again)), first.length).map(({ text }) => text);
  };
  expect(twice('reading taken')).toEqual([expect.stringMatching(/^2 readings were taken: [^;]+; [^;]+$/)]);
  expect(twice('step done')).toEqual([expect.stringMatching(/^2 steps were done: [^;]+; [^;]+$/)]);
  const questioned = of('instrument questioned', {
    instrument: { id: 'm', name: 'Meter', serial: '7' },
    from: '2026-09-01',
    reason: 'It fell.',
    entries: taken.slice(0, 8).map(({ seq }) => seq),
  });
  expect(textsOf(behind(first, questioned)).join()).toMatch(/: (?:[^;]+; ){6}and 2 more\.$/);
});
