import { constants } from 'node:buffer';
import { expect, test } from 'vitest';
import { chainFault } from '../../../src/logbook/chain.js';
import { exportJob } from '../../../src/store/carry/export-job.js';
import { importJob } from '../../../src/store/carry/import-job.js';
import { type JobFile, jobTextOf, readJobFile } from '../../../src/store/carry/job-file.js';
import { replayInMemory } from '../../../src/store/carry/replay-job.js';
import { type Raw, spoilt, demoJobText as text } from '../demo-job-file.js';
import { addNote, jobNumbers, openedJob, tempStore } from '../temp-store.js';

test('a job that is imported and exported is the same logbook, digest for digest', async () => {
  const file = readJobFile(text);
  const store = tempStore();
  const { number, entries } = await importJob(store, file);
  expect(entries).toBe(file.entries.length);
  const exported = exportJob(store, number);
  const other = tempStore();
  const again = await importJob(other, readJobFile(exported));
  expect(again).toEqual({ number, held: 0, entries, sameChain: true, openAgain: [], ofOwn: [] });
  expect(other.logbook.entries(number)).toEqual(store.logbook.entries(number));
  expect(exportJob(other, number)).toBe(exported);
}, 60_000);

test('an import keeps the times and names of the file, and its photos', async () => {
  const late = '2026-01-02T03:04:05.678Z';
  const file = readJobFile(spoilt((f) => Object.assign(f.entries[5], { filledIn: late })));
  const store = tempStore();
  const { number } = await importJob(store, file);
  const kept = store.logbook.entries(number);
  const when = (e: Pick<(typeof kept)[number], 'at' | 'filledIn' | 'by'>) => [e.at, e.filledIn, e.by.name];
  expect(kept.map(when)).toEqual(file.entries.map(when as never));
  expect(kept[5]?.filledIn).toBe(late);
  for (const id of Object.keys(file.photos))
    expect(store.photos.get(id)?.jpeg.toString('base64')).toBe(file.photos[id]);
  expect(chainFault(kept)).toBeUndefined();
  expect(store.broken).toBeUndefined();
});

test('a number that is taken refuses the import', async () => {
  const store = tempStore();
  const job = openedJob(store);
  const file = readJobFile(spoilt((f) => Object.assign(f, { job })));
  await expect(importJob(store, file)).rejects.toThrow(
    /a job 2026-001 already, and it is another one\..* folder of its own, with --data OTHER-FOLDER/,
  );
  expect(store.logbook.entries(job)).toHaveLength(1);
});

test('a file without digests and keys is taken too, and the job goes on from there', async () => {
  const bare = spoilt((f) => {
    delete f.job;
    for (const entry of f.entries) for (const name of ['key', 'seq', 'job']) delete entry[name];
  });
  const store = tempStore();
  const { number, entries, sameChain } = await importJob(store, readJobFile(bare));
  expect({ entries, sameChain }).toEqual({ entries: JSON.parse(text).entries.length, sameChain: false });
  expect(addNote(store, number, 'written after').ok).toBe(true);
}, 60_000);

/** The first forty entries, with something changed. */
const begun = (change: (file: Raw) => void = () => undefined) =>
  readJobFile(
    spoilt((f) => {
      f.entries.splice(40);
      change(f);
    }),
  );

test('two jobs whose entries came by the same form keys are both written whole', async () => {
  const store = tempStore();
  const files = ['2026-101', '2026-102'].map((job) =>
    begun((f) => {
      f.job = job;
      f.entries[0].body.owner = `Owner of ${job}`;
    }),
  );
  for (const file of files) await importJob(store, file);
  for (const file of files) {
    const kept = store.logbook.entries(file.job as string);
    expect(kept.map((e) => [e.kind, e.subject, e.key])).toEqual(
      file.entries.map((e) => [e.kind, e.subject, e.key]),
    );
  }
});

test('a job that is here already is told, whatever number or keys it comes with, and nothing is written', async () => {
  const store = tempStore();
  await importJob(store, begun());
  const heads = () => store.db.prepare('SELECT count(*) AS n FROM heads').get();
  const before = heads();
  const again: readonly (readonly [JobFile, RegExp])[] = [
    [begun(), /here already: 2026-001 holds the 40 entries of the file$/],
    [begun((f) => Object.assign(f, { job: '2026-044' })), /here already: 2026-001/],
    [
      begun((f) => {
        delete f.job;
        for (const entry of f.entries) delete entry.key;
      }),
      /here already: 2026-001/,
    ],
    [begun((f) => f.entries.splice(30)), /holds the 30 entries of the file, and 10 more$/],
    [readJobFile(spoilt((f) => f.entries.splice(45))), /entries of the file, without its last 5$/],
  ];
  for (const [file, words] of again) await expect(importJob(store, file)).rejects.toThrow(words);
  expect(heads()).toEqual(before);
  expect(jobNumbers(store)).toHaveLength(1);
});

test('a job that begins like one that is here and goes on otherwise is none that is here', async () => {
  const store = tempStore();
  await importJob(store, begun());
  const otherwise = begun((f) => {
    delete f.job;
    const last = f.entries.at(-1);
    last.at = new Date(Date.parse(last.at) + 1).toISOString();
  });
  const taken = await importJob(store, otherwise);
  expect(taken).toMatchObject({ entries: 40, held: 0 });
  expect(jobNumbers(store)).toEqual(['2026-001', taken.number]);
});

test('a defect that a failed reading brought is kept in the words of the file', async () => {
  const file = readJobFile(
    spoilt((f) => {
      const k = f.entries.findIndex((e: Raw) => e.kind === 'defect raised');
      f.entries.splice(k + 1);
      f.entries[k].body.what = 'as the rules of another day said it';
    }),
  );
  const store = tempStore();
  const { number } = await importJob(store, file);
  expect(store.logbook.log(number).defects.map((d) => d.body.what)).toEqual([
    'as the rules of another day said it',
  ]);
  expect(store.logbook.entries(number)).toHaveLength(file.entries.length);
}, 60_000);

test('a defect that somebody raised beside the one that the reading brought is kept too', async () => {
  const file = readJobFile(
    spoilt((f) => {
      const k = f.entries.findIndex((e: Raw) => e.kind === 'defect raised');
      const { key: _key, ...brought } = f.entries[k];
      f.entries.splice(k + 1, f.entries.length, {
        ...brought,
        seq: brought.seq + 1,
        body: { ...brought.body, what: 'seen by hand' },
      });
    }),
  );
  const store = tempStore();
  const { number } = await importJob(store, file);
  expect(store.logbook.log(number).defects.map((d) => d.body.what)).toEqual([
    (file.entries.at(-2)!.body as { what: string }).what,
    'seen by hand',
  ]);
}, 60_000);

test('what a body holds beside what its kind says is not kept', async () => {
  const file = readJobFile(spoilt((f) => Object.assign(f.entries[0].body, { proven: true })));
  expect(Object.keys(file.entries[0]?.body as object)).not.toContain('proven');
});

test('a reading that is taken again stays two, though the file leaves out the defect between them', async () => {
  const file = readJobFile(
    spoilt((f) => {
      const k = f.entries.findIndex((e: Raw) => e.kind === 'defect raised');
      const failed = { ...f.entries[k - 1], key: undefined };
      f.entries.splice(k, f.entries.length, failed, { ...failed });
      for (const entry of f.entries) delete entry.seq;
    }),
  );
  const store = tempStore();
  const { number } = await importJob(store, file);
  const taken = (list: readonly { kind: string }[]) => list.filter((e) => e.kind === 'reading taken').length;
  expect(taken(store.logbook.entries(number))).toBe(taken(file.entries));
}, 60_000);

test('an import that the gate refuses half-way leaves nothing behind', async () => {
  const store = tempStore();
  const file = readJobFile(spoilt((f) => f.entries.splice(20, 60)));
  await expect(importJob(store, file)).rejects.toThrow(/entries\.\d+ \(.*\) is refused: /);
  expect(jobNumbers(store)).toEqual([]);
  expect(store.shop.state().entries).toEqual([]);
  openedJob(store);
});

const reading = (f: Raw) => f.entries.findIndex((e: Raw) => e.kind === 'reading taken');

/** So many of them, each as the first. */
const fill = (f: Raw, list: 'entries' | 'people' | 'instruments', many: number) =>
  Object.assign(f, { [list]: Array.from({ length: many }, () => f[list][0]) });

const wrong: readonly (readonly [name: string, text: string, words: RegExp])[] = [
  ['nothing', '', /is not JSON/],
  ['half a file', text.slice(0, 5000), /is not JSON/],
  ['a list', '[]', /must be an object with its fields/],
  ['another format', '{"format":"inlet-circuit/1"}', /format: must be inlet-job\/1/],
  ['no entries', spoilt((f) => Object.assign(f, { entries: [] })), /entries: must hold at least one entry/],
  ['more entries than any job has', spoilt((f) => fill(f, 'entries', 20_001)), /^entries: .*20.?000/],
  ['more people than any shop has', spoilt((f) => fill(f, 'people', 201)), /^people: .*200/],
  ['more instruments than any shop has', spoilt((f) => fill(f, 'instruments', 201)), /^instruments: .*200/],
  [
    'an unknown kind',
    spoilt((f) => Object.assign(f.entries[3], { kind: 'job approved' })),
    /entries\.3\.kind: is no kind of entry/,
  ],
  [
    'a time that is none',
    spoilt((f) => Object.assign(f.entries[1], { at: 'yesterday' })),
    /entries\.1\.at: must be a UTC time/,
  ],
  [
    'a reading that is not a number',
    spoilt((f) => Object.assign(f.entries[reading(f)], { body: { shown: { kind: 'ohms', ohms: 'low' } } })),
    /entries\.\d+ \(reading taken\): shown\.ohms/,
  ],
  [
    'a number with a path in it',
    spoilt((f) => Object.assign(f, { job: '../../etc' })),
    /job: must be a job number/,
  ],
  [
    'a digest that does not follow',
    text.replace(/"digest": "[0-9a-f]{8}/, '"digest": "00000000'),
    /digests do not hold: entry 1 is not what was written/,
  ],
  [
    'a word changed under its digest',
    text.replace('Odile Brandt', 'Odile Grandt'),
    /digests do not hold: entry 1 is not/,
  ],
  [
    'an entry left out of the chain',
    JSON.stringify(
      (() => {
        const f = JSON.parse(text);
        f.entries.splice(5, 1);
        return f;
      })(),
    ),
    /entry 7 stands where 6 should/,
  ],
  [
    'digests on some entries only',
    JSON.stringify(
      (() => {
        const f = JSON.parse(text);
        delete f.entries[4].digest;
        return f;
      })(),
    ),
    /some entries carry a digest/,
  ],
];

test.each(wrong)('a file with %s is refused in one sentence', (_name, content, words) => {
  expect(() => readJobFile(content)).toThrow(words);
});

test.each([
  [
    'is not in the file',
    (f: Raw) => Object.assign(f, { photos: {} }),
    /photo [0-9a-f]{12} is named but not in the file/,
  ],
  [
    'is another',
    (f: Raw) => {
      for (const id of Object.keys(f.photos)) f.photos[id] = Buffer.from('other').toString('base64');
    },
    /is not the one that its digest names/,
  ],
])('a photo that %s refuses the import', async (_name, change, words) => {
  const store = tempStore();
  await expect(importJob(store, readJobFile(spoilt(change)))).rejects.toThrow(words);
  expect(jobNumbers(store)).toEqual([]);
});

test('a replay without a store makes the entries that the store would', async () => {
  const file = readJobFile(text);
  const store = tempStore();
  const { number } = await importJob(store, file);
  expect(replayInMemory(file, number)).toEqual(store.logbook.entries(number));
});

test('a text that is too long for a logbook is told before it is read, and photos in it are not counted', () => {
  const blanks = ' '.repeat(129 * 1024 * 1024);
  expect(() => readJobFile(`${text}${blanks}`)).toThrow(
    /a logbook of 1[0-9]{2} MB, and a job’s takes at most/,
  );
  const photo = Buffer.alloc(100 * 1024 * 1024).toString('base64');
  expect(() => readJobFile(`{"format":"inlet-job/0","photos":{"a":"${photo}"}}`)).toThrow(/format: must be/);
}, 60_000);

test('a file that is more than one text may be is told so, with the way out', () => {
  const bytes = new Uint8Array(constants.MAX_STRING_LENGTH + 1);
  expect(() => jobTextOf(bytes)).toThrow(/is 51[0-9] MB, and one text takes at most 51[0-9] MB: .* as a zip/);
});
