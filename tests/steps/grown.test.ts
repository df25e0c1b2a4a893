import { expect, test } from 'vitest';
import type { Entry, NewEntry } from '../../src/logbook/entry.js';
import { foldJob, growJob } from '../../src/logbook/job-log.js';
import { assess } from '../../src/steps/assess.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { demoJobText } from '../store/demo-job-file.js';

const demo = JSON.parse(demoJobText).entries as Entry[];
const newest = (kind: Entry['kind']) => demo.findLast((e) => e.kind === kind) as Entry;

/** What turns back parts of a job that is finished, each in its own way, and puts some of them right again. */
function turnedBack(): NewEntry[] {
  const reading = demo.findLast((e) => e.kind === 'reading taken' && e.body.instrument) as Entry;
  const step = newest('step done');
  const circuit = demoCircuit();
  circuit.cord.lengthM += 3;
  const instrument = reading.kind === 'reading taken' && reading.body.instrument;
  const given = demo.flatMap((e) => (e.kind === 'reading taken' && e.body.instrument ? [e.seq] : []));
  return [
    {
      kind: 'reading struck',
      subject: reading.subject,
      body: { reading: reading.seq, reason: 'Typed wrong.' },
    },
    reading,
    { kind: 'step reopened', subject: step.subject, body: { reason: 'Looked at again.' } },
    step,
    {
      kind: 'instrument questioned',
      subject: 'job',
      body: { instrument, entries: given, from: '2026-09-01', reason: 'It fell.' },
    },
    reading,
    newest('defect raised'),
    newest('defect reworked'),
    { kind: 'record issued', subject: 'job', body: { revision: 1 } },
    { kind: 'defect raised', subject: step.subject, body: { what: 'Seen again.', suspects: [] } },
    { kind: 'record withdrawn', subject: 'job', body: { revision: 1, reason: 'A defect was seen.' } },
    { kind: 'concession granted', subject: step.subject, body: { reason: 'As seen.' } },
    { kind: 'circuit set', subject: 'circuit', body: { circuit, reason: 'A longer cord.' } },
    reading,
    { kind: 'circuit set', subject: 'circuit', body: { circuit: demoCircuit() } },
    step,
  ] as unknown as NewEntry[];
}

/** Every reading of volts once more, with 6 V more: what is judged beside it moves too. */
const higher = demo.flatMap((e) =>
  e.kind === 'reading taken' && e.body.shown.kind === 'volts'
    ? [{ ...e, body: { ...e.body, shown: { ...e.body.shown, volts: e.body.shown.volts + 6 } } }]
    : [],
);

test('a job is assessed alike whether its logbook grew entry by entry or is read for the first time', () => {
  const entries = [...demo];
  for (const entry of [...higher, ...turnedBack()])
    entries.push({ ...demo.at(-1), ...entry, seq: entries.length + 1 } as Entry);
  let log = foldJob([]);
  const verdicts = new Set<string>();
  for (const [k, entry] of entries.entries()) {
    const before = log;
    log = growJob(before, [entry]);
    const { log: _grown, ...grown } = assess(log, before) ?? { log };
    if (k % 9 !== 0 && k < demo.length) continue;
    // Other objects, so that nothing of it was seen before.
    const { log: _read, ...read } = assess(foldJob(structuredClone(entries.slice(0, k + 1)))) ?? { log };
    expect(grown).toEqual(read);
    for (const { remarks } of assess(log)?.readings.values() ?? []) for (const r of remarks) verdicts.add(r);
  }
  expect([...verdicts].join()).toMatch(/without load/);
  expect(verdicts.size).toBeGreaterThan(3);
});
