import { expect, test } from 'vitest';
import { demoScript } from '../../seed-demo/demo-script.js';
import type { Entry, NewEntry } from '../../src/logbook/entry.js';
import { defectSection } from '../../src/record/document/defect-section.js';
import { recordDocument } from '../../src/record/document.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { fitter, jobOf, played, propose } from '../steps/played.js';
import { sampleInput } from './sample-record.js';

test('what was read and done at an outlet that is taken out stays in the record, as what no longer counts', () => {
  const entries = played();
  const circuit = demoCircuit({ run: demoCircuit().run.slice(0, 2), together: [] });
  const body = { circuit, rules: rulesVersion, reason: 'The locker goes without.' };
  const set = propose(entries, { kind: 'circuit set', subject: 'circuit', body }, fitter);
  if (!set.ok) throw new Error(JSON.stringify(set.issues));
  const pages = (of: typeof entries) => JSON.stringify(recordDocument(jobOf(of), sampleInput));
  for (const words of ['the circuit no longer calls for it', 'Steps that are gone']) {
    expect(pages(entries)).not.toContain(words);
    expect(pages(set.entries)).toContain(words);
  }
});

const taken = (entries: readonly Entry[], entry: NewEntry) => {
  const answer = propose(entries, entry, fitter);
  if (!answer.ok) throw new Error(JSON.stringify(answer.issues));
  return answer.entries as Entry[];
};
const pages = (of: readonly Entry[]) => JSON.stringify(defectSection(jobOf(of), sampleInput));
const circuitSet = (changes: Parameters<typeof demoCircuit>[0]): NewEntry => {
  const body = { circuit: demoCircuit(changes), rules: rulesVersion, reason: 'As it is.' };
  return { kind: 'circuit set', subject: 'circuit', body };
};

test('a reading that no longer counts says whether it was taken again or what it stood on changed', () => {
  const [again, changed] = ['taken again later', 'what it stood on changed after it'];
  const entries = played();
  const bond = entries.find((e) => e.kind === 'reading taken' && e.subject === 'reading:bond')!;
  const twice = pages(taken(entries, bond as NewEntry));
  expect([twice.includes(again), twice.includes(changed)]).toEqual([true, false]);
  const other = pages(taken(entries, circuitSet({ 'bond.lengthM': 3 })));
  expect([other.includes(again), other.includes(changed)]).toEqual([false, true]);
});

test('a step that is gone is told once, as it was done last', () => {
  const entries = played();
  const last = demoCircuit().run.at(-1)!.id;
  const done = entries.findLast((e) => e.kind === 'step done' && e.subject.endsWith(`.${last}`))!;
  const twice = taken(entries, done as NewEntry);
  const run = demoCircuit().run.slice(0, 2);
  const gone = pages(taken(twice, circuitSet({ run, together: [] })));
  expect(gone).toContain(`entry ${twice.length}, `);
  expect(gone).not.toContain(`entry ${done.seq}, `);
});

test('a defect says who found it and who mended it, each with the time', () => {
  const { mishaps = {} } = demoScript(demoCircuit());
  const entries = played(undefined, { mishaps });
  const [raised, mend] = ['defect raised', 'defect reworked'].map((k) => entries.find((e) => e.kind === k)!);
  const { name } = fitter;
  const when = (e?: Entry) => e!.at.slice(0, 16).replace('T', ' ');
  const texts = [...pages(entries).matchAll(/"text":"([^"]*)"/g)].map(([, text]) => text);
  expect(texts.join('\n')).toContain([name, when(raised), name, when(mend)].join('\n'));
});
