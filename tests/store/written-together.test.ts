import { mkdirSync, rmdirSync, rmSync } from 'node:fs';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { AppError, type Result } from '../../src/errors.js';
import type { Entry } from '../../src/logbook/entry.js';
import { openDatabase } from '../../src/store/database.js';
import { readHeads } from '../../src/store/heads-file.js';
import type { Append } from '../../src/store/logbook-store.js';
import type { Store } from '../../src/store/open-store.js';
import { readEntries } from '../../src/store/sealed-entries.js';
import { findings } from '../../src/store/upkeep/findings.js';
import { addNote, described, freshKey, ines, made, noted, tam, tempStore } from './temp-store.js';

type Answer = Result<readonly Entry[]> | { readonly thrown: string };

/** What a form does: one or two entries, a refusal by its rules, or a second entry that no logbook takes. */
const form = fc.record({
  job: fc.constantFrom(0, 1),
  key: fc.integer({ min: 0, max: 5 }).map((k) => `form-key-${k}`),
  by: fc.constantFrom(ines, tam),
  text: fc.constantFrom('x', 'y'),
  does: fc.constantFrom('one', 'two', 'refused', 'spoilt'),
});
type Form = typeof form extends fc.Arbitrary<infer T> ? T : never;

const refusal = { ok: false, issues: [{ field: 'step', message: 'is held' }] } as const;

function commandOf({ job, does, text, ...rest }: Form, jobs: readonly string[]): Append {
  const value = {
    one: [noted(text)],
    two: [noted(text), noted(`${text} again`)],
    spoilt: [noted(text), noted('')],
    refused: [],
  }[does];
  const content = { text, does };
  return {
    ...rest,
    job: jobs[job] ?? '',
    content,
    decide: () => (does === 'refused' ? refusal : { ok: true, value }),
  };
}

function shopOfTwo() {
  const store = tempStore();
  const open = (key: string) =>
    made(store.jobs.open({ by: ines, key, content: 1, decide: () => ({ ok: true, value: [described] }) }))
      .number;
  return { store, jobs: [open('opening-one'), open('opening-two')] };
}

const thrown = (error: unknown): Answer => ({
  thrown: error instanceof AppError ? error.code : String((error as Error).name),
});

function everything({ db, dir }: Store) {
  const all = (table: string) => db.prepare(`SELECT * FROM ${table} ORDER BY 1, 2`).all();
  return [...['entries', 'heads', 'form_keys', 'job_lines'].map(all), readHeads(`${dir}/heads.json`)];
}

test('forms in groups, however they fall, answer and leave what they would one by one', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.array(form, { minLength: 1, maxLength: 6 }), { maxLength: 5 }),
      async (groups) => {
        const [together, alone] = [shopOfTwo(), shopOfTwo()];
        const answers: Answer[] = [];
        for (const group of groups) {
          const sent = group.map((one) =>
            together.store.logbook.appendTogether(commandOf(one, together.jobs)).catch(thrown),
          );
          answers.push(...(await Promise.all(sent)));
        }
        const expected = groups.flat().map((one): Answer => {
          try {
            return alone.store.logbook.append(commandOf(one, alone.jobs));
          } catch (error) {
            return thrown(error);
          }
        });
        expect(answers).toEqual(expected);
        expect(everything(together.store)).toEqual(everything(alone.store));
        for (const job of together.jobs)
          expect(together.store.logbook.entries(job)).toEqual(readEntries(together.store.db, job));
        expect([...findings(together.store.db, `${together.store.dir}/heads.json`)]).toEqual([]);
        for (const { store } of [together, alone]) store.close();
      },
    ),
    { numRuns: 15 },
  );
});

const note = (store: Store, job: string, text: string, key = freshKey()) =>
  store.logbook.appendTogether({
    job,
    key,
    by: ines,
    content: { text },
    decide: () => ({ ok: true, value: [noted(text)] }),
  });

test('nothing of a group is answered before the disk has all of it, and nothing of it is seen before', async () => {
  const { store, jobs } = shopOfTwo();
  const beside = openDatabase(`${store.dir}/logbook.db`, { readOnly: true });
  const seen = () => (beside.prepare('SELECT max(n) AS n FROM heads').get() as { n: number }).n;
  const before = seen();
  const sent = [0, 1, 0].map((k, i) =>
    note(store, jobs[k] ?? '', `note ${i}`).then(() => [
      seen(),
      (readHeads(`${store.dir}/heads.json`) as { n: number }).n,
    ]),
  );
  expect([seen(), store.logbook.entries(jobs[0] ?? '').length]).toEqual([before, 1]);
  expect(await Promise.all(sent)).toEqual(Array(3).fill([before + 3, before + 3]));
  beside.close();
});

test('more forms than one transaction takes are written in several, in their order', async () => {
  const { store, jobs } = shopOfTwo();
  const [job = ''] = jobs;
  const answers = await Promise.all(Array.from({ length: 150 }, (_, k) => note(store, job, `note ${k}`)));
  expect(answers.map((answer) => made(answer)[0]?.seq)).toEqual(Array.from({ length: 150 }, (_, k) => k + 2));
});

test('a group that the heads could not follow fails for every form, and each is written once when it comes again', async () => {
  const { store, jobs } = shopOfTwo();
  const send = () =>
    Promise.allSettled([0, 1].map((k) => note(store, jobs[k] ?? '', 'note', `the-same-key-${k}`)));
  rmSync(`${store.dir}/heads.json`);
  mkdirSync(`${store.dir}/heads.json`);
  for (const answer of await send())
    expect(answer).toMatchObject({ status: 'rejected', reason: { code: 'store-full' } });
  rmdirSync(`${store.dir}/heads.json`);
  for (const answer of await send())
    expect(answer).toMatchObject({ status: 'fulfilled', value: { ok: true } });
  expect(jobs.map((job) => store.logbook.entries(job).length)).toEqual([2, 2]);
  expect(readHeads(`${store.dir}/heads.json`)).toMatchObject({ n: 6 });
});

test('an fsync that fails takes every form of the group back and closes the logbook', async () => {
  const { store, jobs } = shopOfTwo();
  const [job = '', other = ''] = jobs;
  const failing = store.logbook.appendTogether({
    job: other,
    key: freshKey(),
    by: ines,
    content: 1,
    decide: () => {
      throw Object.assign(new Error('disk I/O error'), { code: 'SQLITE_IOERR_FSYNC' });
    },
  });
  const answers = await Promise.allSettled([note(store, job, 'before'), failing, note(store, job, 'after')]);
  for (const answer of answers)
    expect(answer).toMatchObject({ status: 'rejected', reason: { code: 'logbook-broken' } });
  expect(jobs.map((one) => store.logbook.entries(one).length)).toEqual([1, 1]);
  expect(store.broken).toMatch(/did not confirm/);
  await expect(note(store, job, 'later')).rejects.toThrow(/Nothing more is written/);
});

test('a disk that fills in the middle of a group acknowledges nothing that is not there', async () => {
  const { store, jobs } = shopOfTwo();
  const [job = ''] = jobs;
  const send = () =>
    Promise.all(
      Array.from({ length: 40 }, (_, k) =>
        note(store, job, `${k} ${'x'.repeat(400)}`, `full-disk-${k}`)
          .then(made)
          .catch(thrown),
      ),
    );
  const pages = store.db.pragma('page_count', { simple: true }) as number;
  store.db.pragma(`max_page_count = ${pages + 3}`);
  const first = await send();
  const kept = new Set(store.logbook.entries(job).map((e) => e.key));
  for (const [k, answer] of first.entries())
    expect(Array.isArray(answer) || answer).toEqual(kept.has(`full-disk-${k}`) || { thrown: 'store-full' });
  expect(first).toContainEqual({ thrown: 'store-full' });
  store.db.pragma('max_page_count = 1000000');
  for (const answer of await send()) expect(answer).toHaveLength(1);
  expect(store.logbook.entries(job)).toHaveLength(41);
  expect([...findings(store.db, `${store.dir}/heads.json`)]).toEqual([]);
});

test('a session that the disk does not confirm closes the logbook, and people read and sign out all the same', () => {
  const { store, jobs } = shopOfTwo();
  store.sessions.set('the-session', { personId: 'ines' }, { person: 'ines', agent: '' });
  const { prepare } = store.db;
  store.db.prepare = ((text: string) => {
    if (!/^\s*INSERT INTO sessions/.test(text)) return prepare.call(store.db, text);
    throw Object.assign(new Error('disk I/O error'), { code: 'SQLITE_IOERR_FSYNC' });
  }) as typeof prepare;
  const set = (id: string) => store.sessions.set(id, { personId: 'tam' }, { person: 'tam', agent: '' });
  expect(() => set('another')).toThrow(/did not confirm/);
  expect(store.broken).toMatch(/did not confirm/);
  store.db.prepare = prepare;
  expect(() => addNote(store, jobs[0] ?? '', 'no')).toThrow(/Nothing more is written/);
  expect(store.sessions.get('the-session')).toEqual({ personId: 'ines' });
  store.sessions.destroy('the-session');
  expect(store.sessions.get('the-session')).toBeUndefined();
});
