import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { EntryBody, NewEntry } from '../../src/logbook/entry.js';
import { foldWords, type JobSearch, type JobState, jobStates } from '../../src/store/job-search.js';
import type { Store } from '../../src/store/open-store.js';
import { randomFrom } from '../random-from.js';
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

const jobBody = described.body as EntryBody<'job described'>;
const jobCount = 1300;
/** Only the oldest jobs are of this owner, more of them than are sorted by themselves: none is among the newest that are walked. */
const oldest = { owner: 'Deep Owner', count: 1100 };

/** A row of the list, as it is kept. */
interface Kept {
  readonly job: string;
  readonly at: string;
  readonly words: string;
  readonly standing: string;
  readonly held: number;
  readonly issued: number;
  readonly in_question: number;
}

const inState: Readonly<Record<JobState, (row: Kept) => boolean>> = {
  open: ({ standing }) => standing === 'open',
  held: ({ held }) => held === 1,
  issued: ({ issued }) => issued === 1,
  'in-question': ({ in_question }) => in_question === 1,
  'set-aside': ({ standing }) => standing === 'set aside',
  closed: ({ standing }) => standing === 'closed',
};

/** A shop whose jobs were described, described anew, set aside and closed by chance, several at one time. */
function shopByChance(): Store {
  const clock = standingClock();
  const store = tempStore(tempFolder(), clock);
  const random = randomFrom(7);
  const among = <T>(all: readonly T[]) => all[Math.floor(random() * all.length)] as T;
  const describedByChance = (owner: string): NewEntry => ({
    kind: 'job described',
    subject: 'job',
    body: {
      ...jobBody,
      owner,
      place: among(['Quai 7', 'Ångström Lane', 'Bay 2 | left', '"The" 50% shed', 'Łódź, dvůr']),
      vehicle: { ...jobBody.vehicle, plate: `${among(['KX', 'QZ', '~'])}-${Math.floor(random() * 9999)}` },
    },
  });
  const older: readonly string[] = [oldest.owner];
  const owners = ['Zoë Marl', 'Odile Brandt', 'Zoe Odile', 'Łucja Xu', 'Straße 東京', 'aaaa aab'];
  const changes: readonly NewEntry[] = [
    { kind: 'job set aside', subject: 'job', body: { reason: 'No part.' } },
    { kind: 'job closed', subject: 'job', body: { reason: 'Sold.' } },
    recordIssued,
  ];
  store.transact(() => {
    for (let k = 0; k < jobCount; k += 1) {
      if (random() < 0.3) clock.move(1);
      const owner = among(k < oldest.count ? older : owners);
      const number = openedJob(store, [describedByChance(owner)]);
      const change = random();
      if (change < 0.1) made(sendForm(store, number, writing(among(changes))));
      else if (change < 0.2) made(sendForm(store, number, writing(describedByChance(owner))));
    }
  });
  return store;
}

test('whatever is searched for, the list shows what a look at every job finds, in its order', () => {
  const store = shopByChance();
  const rows = (store.db.prepare('SELECT * FROM job_lines').all() as Kept[]).toSorted((a, b) =>
    a.at === b.at ? (a.job < b.job ? 1 : -1) : a.at < b.at ? 1 : -1,
  );
  const found = ({ words, state, before, limit }: JobSearch) => {
    const typed = foldWords(words).split(' ');
    const all = rows.filter(
      (row) =>
        (before === undefined || row.at < before.at || (row.at === before.at && row.job < before.job)) &&
        (state === undefined || inState[state](row)) &&
        typed.every((word) => row.words.includes(word)),
    );
    return { jobs: all.slice(0, limit).map((row) => row.job), more: all.length > limit };
  };
  const asKept = fc
    .record({ row: fc.constantFrom(...rows), from: fc.nat(80), length: fc.integer({ min: 1, max: 9 }) })
    .map(({ row, from, length }) => row.words.slice(from, from + length));
  const word = fc.oneof(
    asKept,
    fc.constantFrom(
      'deep',
      'deep own',
      'owner',
      'zoe',
      'ODILE',
      'marginalia',
      '2026-',
      'ß',
      '東京',
      'zo',
      'u',
      '~-',
      'nobody',
      '~~~',
      '"',
    ),
    fc.string({ unit: 'grapheme', maxLength: 5 }),
  );
  const search: fc.Arbitrary<JobSearch> = fc.record({
    words: fc.array(word, { maxLength: 3 }).map((all) => all.join(' ')),
    state: fc.option(fc.constantFrom(...(Object.keys(jobStates) as JobState[])), { nil: undefined, freq: 2 }),
    before: fc.option(fc.constantFrom(...rows.map(({ at, job }) => ({ at, job }))), { nil: undefined }),
    limit: fc.oneof(fc.integer({ min: 1, max: 60 }), fc.constant(2 * jobCount)),
  });
  fc.assert(
    fc.property(search, (asked) => {
      const { jobs, more } = store.lines.find(asked);
      expect({ jobs: jobs.map((j) => j.number), more }).toEqual(found(asked));
    }),
    { numRuns: 2000 },
  );
});
