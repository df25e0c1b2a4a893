import { expect, test } from 'vitest';
import { chainFault } from '../../../src/logbook/chain.js';
import { exportJob } from '../../../src/store/carry/export-job.js';
import { importJob } from '../../../src/store/carry/import-job.js';
import { type JobFile, readJobFile } from '../../../src/store/carry/job-file.js';
import type { Store } from '../../../src/store/open-store.js';
import { findings } from '../../../src/store/upkeep/findings.js';
import { lineFindings } from '../../../src/store/upkeep/line-findings.js';
import { demoJobText } from '../demo-job-file.js';
import { addNote, openedJob, tempStore } from '../temp-store.js';

const number = '2026-001';
const whole = readJobFile(demoJobText);
const upTo = (n: number): JobFile => ({ ...whole, entries: whole.entries.slice(0, n) });
const fileOf = (store: Store) => readJobFile(exportJob(store, number));
const headsOf = (store: Store) => store.db.prepare('SELECT * FROM heads ORDER BY n').all();

/** Two folders with the first entries of one job. */
async function bothWith(n: number): Promise<[Store, Store]> {
  const [here, there] = [tempStore(), tempStore()];
  await importJob(here, upTo(n));
  await importJob(there, fileOf(here));
  return [here, there];
}

test('a job that was carried on in another folder comes back: what is new goes behind what is here, photos and all', async () => {
  const here = tempStore();
  await importJob(here, upTo(41));
  const there = tempStore();
  await importJob(there, whole);
  addNote(there, number, 'written there');
  const back = await importJob(here, fileOf(there));
  const more = whole.entries.length + 1 - 41;
  expect(back).toEqual({ number, held: 41, entries: more, sameChain: true, openAgain: [], ofOwn: [] });
  expect(here.logbook.entries(number)).toEqual(there.logbook.entries(number));
  expect(exportJob(here, number)).toBe(exportJob(there, number));
  expect([...findings(here.db), ...lineFindings(here.db)]).toEqual([]);
  await expect(importJob(here, fileOf(there))).rejects.toThrow(
    /here already: 2026-001 holds the \d+ entries of the file$/,
  );
  // And to and fro again.
  addNote(here, number, 'written here again');
  expect(await importJob(there, fileOf(here))).toMatchObject({ entries: 1, held: whole.entries.length + 1 });
  expect(chainFault(there.logbook.entries(number))).toBeUndefined();
}, 60_000);

test('a job that was carried on in both folders is refused with both ends named, and nothing is written', async () => {
  const [here, there] = await bothWith(30);
  addNote(here, number, 'written here');
  addNote(there, number, 'written there');
  addNote(there, number, 'and once more');
  const before = headsOf(here);
  await expect(importJob(here, fileOf(there))).rejects.toThrow(
    /carried on in two places: after entry 30, .* here stand 1 more \(defect raised, job, by Ines Okafor, 2026.*\), and in the file 2 more \(defect raised, .* nothing of the file was written/,
  );
  expect(headsOf(here)).toEqual(before);
});

test('an older file of a job that went on here since is told so, and nothing is written', async () => {
  const here = tempStore();
  await importJob(here, upTo(3));
  const older = fileOf(here);
  addNote(here, number, 'written here');
  const before = headsOf(here);
  await expect(importJob(here, older)).rejects.toThrow(
    /here already: 2026-001 holds the 3 entries of the file, and 1 more$/,
  );
  expect(headsOf(here)).toEqual(before);
});

// Every shop begins its year with the same number.
test('another shop’s job under a number that is taken is told to be another one, and not to have been carried on', async () => {
  const here = tempStore();
  expect(openedJob(here)).toBe(number);
  const there = tempStore();
  await importJob(there, upTo(3));
  await expect(importJob(here, fileOf(there))).rejects.toThrow(
    /there is a job 2026-001 already, and it is another/,
  );
});

test('what would come behind is held to what any import is: an entry that another version keeps otherwise, or a photo that is missing, writes nothing', async () => {
  const [here] = await bothWith(30);
  const before = headsOf(here);
  const photo = Object.keys(whole.photos).at(-1) as string;
  const { [photo]: _gone, ...photos } = whole.photos;
  await expect(importJob(here, { ...whole, photos })).rejects.toThrow(/is named but not in the file/);
  // Without seals nothing says that the file goes on from what is here.
  const loose = whole.entries.map(({ digest: _digest, previous: _previous, ...entry }) => entry);
  await expect(importJob(here, { ...whole, entries: loose as JobFile['entries'] })).rejects.toThrow(
    /here already: 2026-001 holds the 170 entries of the file, without its last 140$/,
  );
  expect(headsOf(here)).toEqual(before);
});
