import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { makeDemo } from '../../src/command-line/make-demo.js';
import type { NewEntry } from '../../src/logbook/entry.js';
import { exportJob } from '../../src/store/carry/export-job.js';
import { importJob } from '../../src/store/carry/import-job.js';
import { readJobFile } from '../../src/store/carry/job-file.js';
import { type Raw, spoilt, demoJobText as text } from './demo-job-file.js';
import { jobNumbers, made, openedJob, sendForm, standingClock, tempStore, writing } from './temp-store.js';

const nested = (levels: number) => JSON.parse(`${'['.repeat(levels)}${']'.repeat(levels)}`);
const wrong: readonly (readonly [name: string, text: string, words: RegExp])[] = [
  [
    'half a letter in a name',
    spoilt((f) => Object.assign(f.entries[0].body, { owner: 'Odile \ud83d' })),
    /holds half a letter/,
  ],
  ['half a letter as a key', spoilt((f) => Object.assign(f, { '\udd27': 1 })), /holds half a letter/],
  [
    'a body nested without end',
    spoilt((f) => Object.assign(f.entries[0].body, { more: nested(3000) })),
    /is nested too deeply/,
  ],
  [
    'a key that is a path',
    spoilt((f) => Object.assign(f.entries[3], { key: '../../etc' })),
    /entries\.3\.key: must be the key of a form/,
  ],
  [
    'a key that comes twice',
    spoilt((f) => Object.assign(f.entries[3], { key: f.entries[2].key })),
    /entries\.3\.key: is that of an entry before it/,
  ],
  [
    'the number of the shop’s own chain',
    spoilt((f) => Object.assign(f, { job: 'shop' })),
    /job: is the name of the shop’s own logbook/,
  ],
  [
    'a number that no page opens',
    spoilt((f) => Object.assign(f, { job: '-1' })),
    /job: must be a job number/,
  ],
];

test.each(wrong)('a job file with %s is refused in one sentence', (_name, file, words) => {
  expect(() => readJobFile(file)).toThrow(words);
});

test('entries that one form brought together come back from a file with their keys', async () => {
  const store = tempStore();
  const job = openedJob(store);
  const raised = (what: string): NewEntry => ({
    kind: 'job described',
    subject: 'job',
    body: { ...describedAs(what) },
  });
  made(sendForm(store, job, writing(raised('one'), raised('two'), raised('three'))));
  const file = JSON.parse(exportJob(store, job));
  file.people[0].roles = ['fitter'];
  const other = tempStore();
  expect(await importJob(other, readJobFile(JSON.stringify(file)))).toEqual({
    number: job,
    entries: 4,
    sameChain: true,
    held: 0,
    openAgain: [],
    ofOwn: [],
  });
  expect(other.logbook.entries(job).map((e) => e.key)).toEqual(store.logbook.entries(job).map((e) => e.key));
});

test('a record that comes in a job file is the intact one that its entry speaks of, or the import is refused', async () => {
  const clock = standingClock();
  const store = tempStore(undefined, clock);
  const { number } = await makeDemo(store, clock, readJobFile(text));
  const whole = exportJob(store, number);
  const taken = await importJob(tempStore(), readJobFile(whole));
  expect(taken.sameChain).toBe(true);

  const fake = Buffer.from('%PDF-1.7\nnot a record at all\n');
  const sha256 = createHash('sha256').update(fake).digest('hex');
  const swapped = spoilt((f) => {
    const issued = f.entries.find((e: Raw) => e.kind === 'record issued');
    f.records = { [sha256]: fake.toString('base64') };
    Object.assign(issued.body, { sha256, bytes: fake.length });
  }, whole);
  const other = tempStore();
  await expect(importJob(other, readJobFile(swapped))).rejects.toThrow(/is not the record that its entry/);
  expect(jobNumbers(other)).toEqual([]);

  // The record that it is, beside an entry that speaks of another: of another revision, another logbook, another signer, another length.
  const another = 'ab'.repeat(32);
  for (const said of [{ revision: 7 }, { head: another }, { fingerprint: another }, { bytes: 1 }]) {
    const file = spoilt((f) => {
      Object.assign(f.entries.find((e: Raw) => e.kind === 'record issued').body, said);
    }, whole);
    await expect(importJob(other, readJobFile(file))).rejects.toThrow(/is not the record that its entry/);
  }
}, 60_000);

function describedAs(place: string) {
  return {
    vehicle: { description: 'Marginalia, a high-roof panel van', plate: '', vin: '', invented: true },
    owner: 'Odile Brandt',
    place,
    fitter: 'Ines Okafor',
    checker: 'Tam Whitlock',
  };
}
