// A server for the benches, in a process of its own: the invented shop with some jobs, on a free port, told to its parent.
import { readFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { buildApp } from '../../../src/app.js';
import type { FileIo } from '../../../src/command.js';
import { readJobFileAt } from '../../../src/command-line/import-command.js';
import { makeDemo } from '../../../src/command-line/make-demo.js';
import type { EntryOf } from '../../../src/logbook/entry.js';
import { accept } from '../../../src/steps/accept.js';
import { importJob } from '../../../src/store/import-job.js';
import type { JobFile } from '../../../src/store/job-file.js';
import { openStore, type Store } from '../../../src/store/open-store.js';
import { Browser } from '../../web/shop-under-test.js';

export interface ServedShop {
  readonly address: string;
  readonly cookie: string;
  /** Jobs that are finished but for their record, besides the demonstration's own. */
  readonly jobs: readonly string[];
}

const [dir = '', jobs = '1', entries = '0'] = process.argv.slice(2);
const clock = () => new Date();
const store = openStore({ dir, clock });
const file = await readJobFileAt('bench', 'seed-demo/job.json', {
  readBytes: (path: string) => readFile(path),
} as unknown as FileIo);
const { people } = await makeDemo(store, clock, file);
const numbers: string[] = [];
for (let k = 1; k <= Number(jobs); k += 1) {
  const { number } = await importJob(store, later(file, k));
  lengthen(store, number, Number(entries));
  numbers.push(number);
}
const app = await buildApp({
  config: { https: false, logLevel: 'silent' },
  store,
  clock,
  requestsPerMinute: Number.MAX_SAFE_INTEGER,
});
const [fitter] = people;
const browser = new Browser(app);
await browser.signIn(fitter?.signIn ?? '', fitter?.passphrase);
await app.listen({ port: 0, host: '127.0.0.1' });
const { port } = app.server.address() as AddressInfo;
process.send?.({
  address: `http://127.0.0.1:${port}`,
  cookie: browser.cookie,
  jobs: numbers,
} satisfies ServedShop);
process.on('disconnect', () => void app.close().then(() => store.close()));

/** The same work, some days later, so that it is another job. */
function later(job: JobFile, days: number): JobFile {
  const { job: _number, ...rest } = job;
  return {
    ...rest,
    records: {},
    entries: job.entries.map(({ digest: _d, previous: _p, ...entry }) => ({
      ...entry,
      at: new Date(Date.parse(entry.at) + days * 86_400_000).toISOString(),
    })),
  } as JobFile;
}

/** Takes the last reading again and again until the logbook has so many entries. */
function lengthen({ logbook, shop }: Store, job: string, wanted: number): void {
  const reading = logbook
    .log(job)
    .entries.findLast((e) => e.kind === 'reading taken') as EntryOf<'reading taken'>;
  const person = shop.state().people.find((p) => p.id === reading.by.id);
  if (person === undefined) throw new Error('nobody here took the last reading');
  for (let k = logbook.entries(job).length; k < wanted; k += 1) {
    const { kind, subject, body } = reading;
    const taken = logbook.append({
      job,
      key: `taken-again-${k}`,
      by: person,
      content: k,
      decide: (log) => accept(log, { kind, subject, body }, { by: person, people: shop.state().people }),
    });
    if (!taken.ok) throw new Error(taken.issues[0]?.message);
  }
}
