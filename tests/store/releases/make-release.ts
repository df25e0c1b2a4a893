// Makes the data folder of this very version, for the versions after it to open: npx tsx tests/store/releases/make-release.ts FOLDER
// Run it once for each release, pack the folder as the others are, and never again: what a release wrote stays as it wrote it.
import { readFile } from 'node:fs/promises';
import type { FileIo } from '../../../src/command.js';
import { readJobFileAt } from '../../../src/command-line/read-job-file-at.js';
import { importJob } from '../../../src/store/carry/import-job.js';
import type { JobFile } from '../../../src/store/carry/job-file.js';
import { openStore } from '../../../src/store/open-store.js';
import { makeShop } from '../../../src/web/people/set-up-page.js';

/** As far as the first photos: an open job, some of whose steps are done. */
const entriesKept = 40;

const [dir = ''] = process.argv.slice(2);
const clock = () => new Date();
const store = openStore({ dir, clock });
const file = await readJobFileAt('make-release', 'seed-demo/job.json', {
  readBytes: (path: string) => readFile(path),
} as unknown as FileIo);
const [first] = file.people;
if (first === undefined) throw new Error('the demonstration names nobody');
await makeShop(
  { store, clock },
  {
    shop: { name: 'Thimble Lane Vanworks', place: '', units: 'imperial' },
    person: { name: first.name, signIn: 'ines', roles: ['fitter', 'checker', 'keeper'] },
    passphrase: 'spindle-lantern-otter-quarry',
    id: first.id,
  },
);
for (const { id, ...instrument } of file.instruments)
  store.shop.append({
    by: { id: first.id, name: first.name },
    decide: () => ({ ok: true, value: [{ kind: 'instrument added', subject: id, body: instrument }] }),
  });
await importJob(store, { ...file, entries: file.entries.slice(0, entriesKept) } as JobFile);
store.close();
