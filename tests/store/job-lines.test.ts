import fc from 'fast-check';
import { expect, onTestFinished, test } from 'vitest';
import type { EntryBody, NewEntry } from '../../src/logbook/entry.js';
import { foldJob } from '../../src/logbook/job-log.js';
import { jobLine } from '../../src/steps/job-line.js';
import { openStore, type Store } from '../../src/store/open-store.js';
import { readEntries } from '../../src/store/sealed-entries.js';
import { played } from '../steps/played.js';
import {
  described,
  made,
  openedJob,
  recordIssued,
  sendForm,
  standingClock,
  tempFolder,
  tempStore,
  writing,
} from './temp-store.js';

const whole = played();
const unseen = whole.slice(1, 60).filter((e) => e.kind !== 'photo added');
const jobBody = described.body as EntryBody<'job described'>;

function add(store: Store, job: string, entries: readonly NewEntry[]) {
  return made(sendForm(store, job, writing(...entries)));
}

const describedAs = (body: Partial<typeof jobBody>, vehicle: Partial<typeof jobBody.vehicle> = {}) => ({
  kind: 'job described' as const,
  subject: 'job',
  body: { ...jobBody, ...body, vehicle: { ...jobBody.vehicle, ...vehicle } },
});

/** What the list says of a job, all columns of it. */
function kept(store: Store, job: string) {
  const row = store.db
    .prepare('SELECT standing, held, issued, in_question, line, at FROM job_lines WHERE job = ?')
    .get(job) as Record<string, unknown>;
  return { ...row, line: JSON.parse(String(row.line)) };
}

/** What its entries say, read and folded anew. */
function anew(store: Store, job: string) {
  const log = foldJob(readEntries(store.db, job));
  const line = jobLine(log);
  return {
    standing: log.standing,
    held: Number(line.held),
    issued: Number(log.issued.some((e) => !log.withdrawn.has(e.body.revision))),
    in_question: Number(line.inQuestion),
    line: JSON.parse(JSON.stringify(line)),
    at: log.entries.at(-1)?.at,
  };
}

const numbers = (store: Store, words: string, more = {}) =>
  store.lines.find({ words, limit: 50, ...more }).jobs.map((j) => j.number);

const more: fc.Arbitrary<NewEntry> = fc.oneof(
  fc.constantFrom<NewEntry>(
    { kind: 'job set aside', subject: 'job', body: { reason: 'No part.' } },
    { kind: 'job taken up', subject: 'job', body: { reason: 'It came.' } },
    { kind: 'job closed', subject: 'job', body: { reason: 'Sold.' } },
    { kind: 'record withdrawn', subject: 'job', body: { revision: 1, reason: 'A wrong photo.' } },
    { kind: 'defect raised', subject: 'job', body: { what: 'A nick.', suspects: [] } },
    recordIssued,
  ),
  fc
    .tuple(fc.constantFrom('Zoë', 'Łucja', 'Brandt'), fc.string({ maxLength: 6 }))
    .map(([owner, plate]): NewEntry => describedAs({ owner }, { plate: plate.trim() })),
  fc.integer({ min: 1, max: whole.length }).map(
    (defect): NewEntry => ({
      kind: 'defect reworked',
      subject: 'job',
      body: { defect, found: 'A nick.', done: 'Cut back.', disturbs: [{ what: 'nothing-touched' }] },
    }),
  ),
);

test('after any entries, kept or taken back, a line says what its entries say when they are read anew', () => {
  const store = tempStore();
  const chunk = fc.record({
    length: fc.integer({ min: 0, max: 120 }),
    more: fc.array(more, { maxLength: 4 }),
  });
  fc.assert(
    fc.property(fc.array(chunk, { minLength: 1, maxLength: 4 }), fc.boolean(), (chunks, takenBack) => {
      const job = openedJob(store);
      let from = 0;
      for (const { length, more: extra } of chunks) {
        const entries = [...whole.slice(from, from + length), ...extra];
        from += length;
        add(store, job, entries as NewEntry[]);
        expect(kept(store, job)).toEqual(anew(store, job));
      }
      if (!takenBack) return;
      const before = kept(store, job);
      expect(() =>
        store.transact(() => {
          add(store, job, [describedAs({ owner: 'Nobody' })]);
          throw new Error('taken back');
        }),
      ).toThrow('taken back');
      expect(kept(store, job)).toEqual(before);
      expect(numbers(store, `${job} nobody`)).toEqual([]);
    }),
    { numRuns: 25 },
  );
});

test('a job is found by a part of its number, plate, owner, place or van, with accents and without, and by no other', () => {
  const store = tempStore();
  const zoe = openedJob(store, [
    describedAs({ owner: 'Zoë Ångström', place: 'Quai 7' }, { plate: 'KX-41 07' }),
  ]);
  const other = openedJob(store, [
    describedAs({ owner: 'Odile Brandt' }, { description: 'A low "box" van, 50%' }),
  ]);
  for (const words of [zoe, 'ngstr', 'zoe', 'ZOË', 'kx4107', 'KX-41', '07 quai', 'zo 41', 'q'])
    expect([words, numbers(store, words)]).toEqual([words, [zoe]]);
  for (const words of ['"box"', '50%', 'odile low'])
    expect([words, numbers(store, words)]).toEqual([words, [other]]);
  for (const words of ['zoe odile', '%', "' OR 1 --", '*', 'NEAR(', '_'])
    expect([words, numbers(store, words)]).toEqual([words, words === '%' ? [other] : []]);
  expect(numbers(store, '  ')).toEqual([other, zoe]);
  add(store, zoe, [describedAs({ owner: 'Mara Quell' })]);
  expect(numbers(store, 'angstrom')).toEqual([]);
  expect(numbers(store, 'quell')).toEqual([zoe]);
});

test('page after page no job is missed and none comes twice, though many were written at one time', () => {
  const clock = standingClock();
  const store = tempStore(tempFolder(), clock);
  const all = Array.from({ length: 37 }, (_, k) => {
    if (k % 9 === 0) clock.move(1000);
    return openedJob(store);
  });
  add(store, all[4] as string, [{ kind: 'job closed', subject: 'job', body: { reason: 'Sold.' } }]);
  for (const [words, state, wanted] of [
    ['', undefined, 37],
    ['marginalia', undefined, 37],
    ['2026', 'open', 36],
    ['', 'closed', 1],
  ] as const) {
    const seen: string[] = [];
    let before: { at: string; job: string } | undefined;
    for (;;) {
      const page = store.lines.find({ words, state, before, limit: 5 });
      seen.push(...page.jobs.map((j) => j.number));
      const last = page.jobs.at(-1);
      if (!page.more || last === undefined) break;
      before = { at: last.at, job: last.number };
    }
    expect([seen.length, new Set(seen).size]).toEqual([wanted, wanted]);
  }
  const [newest] = numbers(store, '');
  expect(newest).toBe(all.at(-1));
});

test('a search that more than a thousand jobs answer goes through the list in its order', () => {
  const clock = standingClock();
  const store = tempStore(tempFolder(), clock);
  store.transact(() => {
    for (let k = 0; k < 1010; k += 1, clock.move(1))
      openedJob(store, [
        describedAs(k === 3 ? { owner: 'Rare Owner', place: 'Quai Zq' } : { owner: 'Often' }),
      ]);
  });
  expect(numbers(store, 'often')[0]).toBe('2026-1010');
  expect(numbers(store, 'often')).toHaveLength(50);
  expect(numbers(store, 'rare often')).toEqual([]);
  expect(numbers(store, 'rare')).toEqual(['2026-004']);
  // Older than the part of the list that is walked: found by itself, in the list's order all the same.
  const often = numbers(store, 'often', { limit: 1009 });
  expect([often.length, often[0], often.at(-1)]).toEqual([1009, '2026-1010', '2026-001']);
  expect(often).toEqual(often.toSorted((a, b) => Number(b.slice(5)) - Number(a.slice(5))));
  for (const words of ['zq', 'ra', 'zq ra', 'quai zq', 'zq owner'])
    expect([words, numbers(store, words)]).toEqual([words, ['2026-004']]);
  for (const words of ['~~', 'zq often', 'xq', '"*', 'é~'])
    expect([words, numbers(store, words)]).toEqual([words, []]);
  expect(numbers(store, 'o')).toHaveLength(50);
  const before = { at: '9999', job: '' };
  expect(numbers(store, 'zq', { before, state: 'open' })).toEqual(['2026-004']);
  expect(numbers(store, 'zq', { before, state: 'closed' })).toEqual([]);
  expect(numbers(store, 'zq', { before: { at: '2000', job: '' } })).toEqual([]);
});

test('a folder from before the list shows every job at once, as it is, and is filled a few at a time', () => {
  const dir = tempFolder();
  const made = openStore({ dir, clock: standingClock() });
  for (const owner of ['Ada', 'Bo', 'Cy', 'Dot', 'Eve'])
    openedJob(made, [describedAs({ owner }), ...(unseen as NewEntry[])]);
  // As the first release laid it out.
  made.db.exec(
    'DROP TABLE job_words; DROP TABLE job_lines; DROP TABLE access; DROP INDEX shop_entries_but_openings; ALTER TABLE entries DROP COLUMN filled_in; DELETE FROM migrations WHERE number > 1',
  );
  made.db.pragma('user_version = 1');
  made.close();

  const store = openStore({ dir, clock: standingClock() });
  onTestFinished(() => store.close());
  const listed = store.lines.find({ words: '', limit: 9 }).jobs;
  expect(listed.map((j) => j.line.owner)).toEqual(['Eve', 'Dot', 'Cy', 'Bo', 'Ada']);
  expect(listed.map((j) => j.line)).toEqual(
    listed.map((j) => jobLine(foldJob(readEntries(store.db, j.number)))),
  );
  expect([store.lines.pending(), numbers(store, 'ada')]).toEqual([5, []]);
  expect([store.lines.fill(2), store.lines.fill(2), numbers(store, 'eve')]).toEqual([3, 1, ['2026-005']]);
  expect([store.lines.fill(2), store.lines.pending(), numbers(store, 'ada')]).toEqual([0, 0, ['2026-001']]);
  for (const { number } of listed) expect(kept(store, number)).toEqual(anew(store, number));
});

test('lines that another version computed are not believed, and are computed anew', () => {
  const store = tempStore();
  const job = openedJob(store);
  store.db
    .prepare(
      `UPDATE job_lines SET logic = '0.0.1 old', standing = 'closed', line = json_set(line, '$.owner', 'X')`,
    )
    .run();
  store.close();
  const again = tempStore(store.dir);
  expect(again.lines.find({ words: '', limit: 1 }).jobs[0]?.line.owner).toBe('Odile Brandt');
  expect([again.lines.pending(), again.lines.fill(9)]).toEqual([1, 0]);
  expect(kept(again, job)).toEqual(anew(again, job));
});
