import { readFile, writeFile } from 'node:fs/promises';
import { expect, test } from 'vitest';
import { UsageError } from '../../src/command.js';
import { runImport } from '../../src/command-line/import-command.js';
import { readJobFile } from '../../src/store/carry/job-file.js';
import { openStore } from '../../src/store/open-store.js';
import { demoJobText } from '../store/demo-job-file.js';
import { tempFolder } from '../store/temp-store.js';
import { addPerson } from '../web/shop-under-test.js';

const last = JSON.parse(demoJobText).entries.at(-1).at as string;
const hour = 3_600_000;

/** The demonstration brought in by a machine whose clock is so far behind its last entry; what is wrong with it, in words. */
async function importedAt(behindMs: number, folder = tempFolder(), said: string[] = []): Promise<string> {
  const path = `${folder}/job.json`;
  await writeFile(path, demoJobText);
  const io = {
    out: (line: string) => void said.push(line),
    err: () => undefined,
    readFile: (name: string) => readFile(name, 'utf8'),
    readBytes: (name: string) => readFile(name),
    writeBytes: () => Promise.reject(new Error('nothing is written')),
  };
  const clock = () => new Date(Date.parse(last) - behindMs);
  return runImport([path, '--data', `${folder}/shop`], io, clock).then(
    () => '',
    (error: unknown) => (error instanceof UsageError ? error.message : String(error)),
  );
}

test('a job whose entries are dated in days to come is refused whole, with the entry and what this machine takes the time for', async () => {
  expect(await importedAt(48 * hour)).toMatch(
    /job\.json: entries\.\d+\.at: 20\S+Z has not come yet by the clock of this machine \(20\S+Z\): where that is wrong, set it right/,
  );
}, 60_000);

test('two clocks that differ by minutes are no reason', async () => {
  expect(await importedAt(hour / 4)).toBe('');
}, 60_000);

test('an entry that says it was filled in after it was written is refused by its field', () => {
  const file = JSON.parse(demoJobText);
  const entries = file.entries.map(
    ({ digest: _d, previous: _p, ...entry }: Record<string, unknown>) => entry,
  );
  entries[4].filledIn = new Date(Date.parse(entries[4].at) + 1000).toISOString();
  expect(() => readJobFile(JSON.stringify({ ...file, entries }))).toThrow(
    'entries.4.filledIn: is later than the entry was written',
  );
});

// Whoever had a job of this shop knows the ids of its people, and can write under them and seal it.
test('entries that name a person of this shop and were not written here are told, with whose they would be', async () => {
  const folder = tempFolder();
  const store = openStore({ dir: `${folder}/shop`, clock: () => new Date(last) });
  addPerson({ store }, 'p-tam', 'Tam Whitlock', ['checker']);
  store.close();
  const said: string[] = [];
  expect(await importedAt(0, folder, said)).toBe('');
  expect(said.join('\n')).toMatch(
    /By Tam Whitlock of this shop, though not written here: 1 entry\. Only Tam Whitlock can say/,
  );
  expect(said.join('\n')).not.toContain('By Ines Okafor');
}, 60_000);
