import fc from 'fast-check';
import { expect, test } from 'vitest';
import { chainFault } from '../../src/logbook/chain.js';
import type { NewEntry } from '../../src/logbook/entry.js';
import { readShopEntries } from '../../src/store/sealed-entries.js';
import {
  addNote,
  described,
  freshKey,
  ines,
  jobNumbers,
  made,
  noted,
  openedJob,
  sendForm,
  tam,
  tempStore,
  writing,
} from './temp-store.js';

test('a form sent twice is one entry, and answers the same both times', () => {
  const store = tempStore();
  const job = openedJob(store);
  const key = freshKey();
  const first = made(addNote(store, job, 'once', key));
  const second = made(addNote(store, job, 'once', key));
  expect(second).toEqual(first);
  expect(store.logbook.entries(job)).toHaveLength(2);
});

test('ten copies of a form at once are one entry', async () => {
  const store = tempStore();
  const job = openedJob(store);
  const key = freshKey();
  const answers = await Promise.all(
    Array.from({ length: 10 }, async () => made(addNote(store, job, 'ten', key))),
  );
  expect(new Set(answers.map((a) => a[0]?.digest)).size).toBe(1);
  expect(store.logbook.entries(job)).toHaveLength(2);
});

test('a form that makes several entries gives each its own key and comes back whole', () => {
  const store = tempStore();
  const job = openedJob(store);
  const key = freshKey();
  const send = () => sendForm(store, job, writing(noted('a'), noted('b')), { key });
  const sent = made(send());
  expect(sent.map((e) => e.key)).toEqual([key, `${key}.2`]);
  expect(made(send())).toEqual(sent);
});

test('the same key with other content is refused and nothing is written', () => {
  const store = tempStore();
  const job = openedJob(store);
  const key = freshKey();
  addNote(store, job, 'first', key);
  expect(() => addNote(store, job, 'second', key)).toThrow(/already sent with other content/);
  expect(store.logbook.entries(job)).toHaveLength(2);
});

test('the same key for another job is refused', () => {
  const store = tempStore();
  const [one, two] = [openedJob(store), openedJob(store)];
  const key = freshKey();
  addNote(store, one, 'x', key);
  expect(() => addNote(store, two, 'x', key)).toThrow(/already sent/);
});

test("another person's key cannot be used to read what they wrote", () => {
  const store = tempStore();
  const job = openedJob(store);
  const key = freshKey();
  addNote(store, job, 'mine', key);
  const other = () =>
    sendForm(store, job, writing(noted('his')), { key, by: tam, content: { text: 'mine' } });
  expect(other).toThrow(/already sent/);
  expect(store.logbook.entries(job)).toHaveLength(2);
});

test.each(['', 'short', 'has space', 'x'.repeat(65), '../../etc'])(
  'a form without a proper key is refused: "%s"',
  (key) => {
    const store = tempStore();
    const job = openedJob(store);
    expect(() => addNote(store, job, 'x', key)).toThrow(/without its key/);
  },
);

test('an entry that its rules refuse writes nothing and says why', () => {
  const store = tempStore();
  const job = openedJob(store);
  const issues = [{ field: 'step', message: 'is held' }];
  expect(sendForm(store, job, () => ({ ok: false, issues }))).toEqual({ ok: false, issues });
  expect(store.logbook.entries(job)).toHaveLength(1);
});

test('a body that its kind does not allow is never written, nor what came with it', () => {
  const store = tempStore();
  const job = openedJob(store);
  const bad: NewEntry = { kind: 'defect raised', subject: 'job', body: { what: '', suspects: [] } };
  expect(() => sendForm(store, job, writing(noted('good'), bad))).toThrow(/must not be empty/);
  expect(store.logbook.entries(job)).toHaveLength(1);
});

test('what is asked of a job while something is written is not remembered when that is taken back', () => {
  const store = tempStore();
  const [job, other] = [openedJob(store), openedJob(store)];
  const lengths = () => [job, other].map((number) => store.logbook.log(number).entries.length);
  expect(lengths()).toEqual([1, 1]);
  let meanwhile: number[] | undefined;
  expect(() =>
    sendForm(store, job, () => {
      made(addNote(store, other, 'in the same transaction'));
      meanwhile = lengths();
      throw new Error('no room for the rest');
    }),
  ).toThrow(/no room/);
  expect(meanwhile).toEqual([1, 2]);
  expect(lengths()).toEqual([1, 1]);
  made(addNote(store, other, 'once more'));
  expect(lengths()).toEqual([1, 2]);
});

test('a job that was never opened is not found', () => {
  expect(() => tempStore().logbook.log('2026-777')).toThrow(/no job 2026-777/);
});

test('the next number follows the highest of its year, whoever gave it, and one that was taken back is given again', () => {
  const store = tempStore();
  const openAs = (number: string) =>
    store.jobs.open({
      by: ines,
      key: freshKey(),
      content: 1,
      number,
      place: () => ({ at: '2026-11-25T08:00:00.000Z', key: freshKey() }),
      decide: () => ({ ok: true, value: [described] }),
    });
  expect(openedJob(store)).toBe('2026-001');
  made(openAs('2026-040'));
  expect(openedJob(store)).toBe('2026-041');
  expect(() =>
    store.transact(() => {
      expect(openedJob(store)).toBe('2026-042');
      throw new Error('taken back');
    }),
  ).toThrow('taken back');
  made(openAs('2026-7'));
  expect([openedJob(store), openedJob(store)]).toEqual(['2026-042', '2026-043']);
});

test('numbers run within their year, and a refused opening spends none', () => {
  const store = tempStore();
  expect(openedJob(store)).toBe('2026-001');
  const refused = store.jobs.open({
    by: ines,
    key: freshKey(),
    content: 1,
    decide: () => ({ ok: false, issues: [{ field: 'owner', message: 'must not be empty' }] }),
  });
  expect(refused.ok).toBe(false);
  expect(openedJob(store)).toBe('2026-002');
  const next = store.jobs.open({
    by: ines,
    key: freshKey(),
    content: 1,
    place: () => ({ at: '2027-01-02T00:00:00.000Z', key: 'from-a-file' }),
    decide: () => ({ ok: true, value: [described] }),
  });
  expect(made(next).number).toBe('2027-001');
  expect(readShopEntries(store.db).map((e) => e.kind)).toEqual(Array(3).fill('job opened'));
});

test('a job opened twice by the same form is one job', () => {
  const store = tempStore();
  const key = freshKey();
  const open = () =>
    made(
      store.jobs.open({ by: ines, key, content: 'same', decide: () => ({ ok: true, value: [described] }) }),
    );
  expect(open().number).toBe(open().number);
  expect(jobNumbers(store)).toHaveLength(1);
});

test('whatever is written in whatever order, every chain holds and nothing that was written is lost', () => {
  fc.assert(
    fc.property(
      fc.array(
        fc.record({
          job: fc.nat(2),
          text: fc
            .string({ minLength: 1, unit: 'grapheme' })
            .filter((t) => t.trim() !== '' && t.isWellFormed()),
        }),
        { maxLength: 25 },
      ),
      (notes) => {
        const store = tempStore();
        const jobs = [openedJob(store), openedJob(store), openedJob(store)];
        for (const { job, text } of notes) made(addNote(store, jobs[job] as string, text));
        for (const [k, job] of jobs.entries()) {
          const entries = store.logbook.entries(job);
          expect(chainFault(entries)).toBeUndefined();
          expect(entries.slice(1).map((e) => e.kind === 'defect raised' && e.body.what)).toEqual(
            notes.filter((n) => n.job === k).map((n) => n.text.trim()),
          );
        }
        expect(chainFault(readShopEntries(store.db))).toBeUndefined();
        store.close();
      },
    ),
    { numRuns: 15 },
  );
});
