import { expect, test } from 'vitest';
import { seal } from '../../../src/logbook/chain.js';
import { assess } from '../../../src/steps/assess.js';
import { exportJob } from '../../../src/store/carry/export-job.js';
import { importJob } from '../../../src/store/carry/import-job.js';
import { type JobFile, readJobFile } from '../../../src/store/carry/job-file.js';
import { replayInMemory } from '../../../src/store/carry/replay-job.js';
import { type Raw, spoilt } from '../demo-job-file.js';
import { addNote, jobNumbers, tempStore } from '../temp-store.js';

/** The demonstration as a version sealed it that did not ask for a charger's case, nor kept a driver with its torque. */
const changed = spoilt((f) => {
  for (const { kind, subject, body } of f.entries as Raw[]) {
    if (kind === 'step done') delete body.instruments;
    if (kind === 'step done' && subject === 'step:bond') delete body.answers['charger-case'];
    if (kind === 'circuit set') body.rules = '2026.11';
  }
});

function sealed(text: string): JobFile {
  const file = JSON.parse(text);
  let last: Raw;
  file.job = '2026-001';
  file.entries = file.entries.map(({ seq: _seq, ...entry }: Raw) => {
    last = seal({ ...entry, job: file.job }, last);
    return last;
  });
  return readJobFile(JSON.stringify(file));
}

test('a job that an earlier version sealed is taken whole, digest for digest, and what today’s rules ask more of is open again', async () => {
  const file = sealed(changed);
  const store = tempStore();
  const taken = await importJob(store, file);
  expect(taken).toMatchObject({ entries: file.entries.length, sameChain: true });
  expect(taken.openAgain.some((line) => /Bond to the body: .*charger.*: needs a choice/.test(line))).toBe(
    true,
  );
  expect(taken.openAgain.filter((line) => line.includes('torque screwdriver')).length).toBeGreaterThan(3);
  const job = assess(store.logbook.log(taken.number));
  expect(job?.steps.get('bond')?.status).not.toBe('done');
  expect(job?.barsIssue.length).toBeGreaterThan(0);
  expect(addNote(store, taken.number, 'written after').ok).toBe(true);
  const on = await importJob(tempStore(), readJobFile(exportJob(store, taken.number)));
  expect(on).toMatchObject({ sameChain: true });
  expect(replayInMemory(file, taken.number).at(-1)?.digest).toBe(file.entries.at(-1)?.digest);
}, 60_000);

test('the same entries without their seal are held to today’s gate, since nothing says that any gate let them in', async () => {
  const whole = (): Raw => structuredClone(JSON.parse(JSON.stringify(sealed(changed))));
  const unsealed: readonly ((f: Raw) => void)[] = [
    (f) => {
      for (const entry of f.entries) delete entry.digest;
    },
    (f) => {
      delete f.job;
    },
    (f) => {
      f.job = '2026-044';
    },
  ];
  for (const change of unsealed) {
    const file = whole();
    change(file);
    const store = tempStore();
    await expect(importJob(store, readJobFile(JSON.stringify(file)))).rejects.toThrow(
      /\(step done, step:[a-z-]+\) is refused: /,
    );
    expect(jobNumbers(store)).toEqual([]);
  }
}, 60_000);

test('a seal over what this version does not know is not broken to take the rest: the job is refused whole', async () => {
  const later: readonly ((f: Raw) => void)[] = [
    (f) => Object.assign(f.entries[3].body, { seenToo: 'a scorched strand' }),
    (f) => Object.assign(f.entries[3], { place: 'bay 2' }),
    (f) => Object.assign(f.entries[1].body.circuit.inlet, { cover: 'screwed' }),
  ];
  for (const change of later) {
    const store = tempStore();
    await expect(importJob(store, sealed(spoilt(change)))).rejects.toThrow(
      /entries\.[13] \(.*\): holds something that this version does not know, and would lose it/,
    );
    expect(jobNumbers(store)).toEqual([]);
  }
}, 60_000);

test('a seal lets in nothing that never fitted: a photo that is not there, a reading of another kind, a role that nobody held', async () => {
  const spoiltHow: readonly (readonly [(f: Raw) => void, RegExp])[] = [
    [
      (f) => {
        const k = f.entries.findIndex((e: Raw) => e.kind === 'photo added');
        f.entries.splice(k, 1);
      },
      /names a photo that this job does not have/,
    ],
    [
      (f) => {
        const first = f.entries.find((e: Raw) => e.kind === 'reading taken' && e.body.shown.kind === 'ohms');
        first.body.shown = { kind: 'volts', volts: 0, lowImpedance: false };
      },
      /is not what this reading asks for/,
    ],
    [(f) => Object.assign(f, { people: f.people.map((p: Raw) => ({ ...p, roles: [] })) }), /role/],
    // Who is not named holds none, and nobody holds another's.
    [(f) => Object.assign(f, { people: f.people.slice(1) }), /role/],
    [
      ({ people: [one, other] }) => {
        one.roles.push(...other.roles.splice(0));
      },
      /second look signed.*role/,
    ],
  ];
  for (const [change, words] of spoiltHow) {
    const file = JSON.parse(changed);
    change(file);
    await expect(importJob(tempStore(), sealed(JSON.stringify(file)))).rejects.toThrow(words);
  }
}, 60_000);

test('a job with a finding of another shop’s keeper goes on to a third shop', async () => {
  const found = sealed(
    spoilt((f) => {
      const k = f.entries.findIndex((e: Raw) => e.kind === 'reading taken');
      const { id, name, serial } = f.entries[k].body.instrument;
      f.entries.splice(k + 1);
      f.people.push({ id: 'p-keeper', name: 'Noor Hale', roles: ['keeper'] });
      f.entries.push({
        ...f.entries[k],
        key: 'finding-of-a-keeper',
        by: { id: 'p-keeper', name: 'Noor Hale' },
        kind: 'instrument questioned',
        subject: 'job',
        body: { instrument: { id, name, serial }, from: '2026-01-01', reason: 'Dropped.', entries: [k + 1] },
      });
    }),
  );
  const second = tempStore();
  const { number } = await importJob(second, found);
  const third = await importJob(tempStore(), readJobFile(exportJob(second, number)));
  expect(third).toMatchObject({ entries: found.entries.length, sameChain: true });
}, 60_000);
