// A server for the benches, in a process of its own: the invented shop with some jobs, on a free port, told to its parent.
import { readFileSync, writeFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { buildApp } from '../../../src/app.js';
import type { FileIo } from '../../../src/command.js';
import { readJobFileAt } from '../../../src/command-line/import-command.js';
import { makeDemo } from '../../../src/command-line/make-demo.js';
import type { Entry, NewEntry } from '../../../src/logbook/entry.js';
import { accept } from '../../../src/steps/accept.js';
import { importJob } from '../../../src/store/carry/import-job.js';
import type { JobFile } from '../../../src/store/carry/job-file.js';
import { openStore, type Store } from '../../../src/store/open-store.js';
import { Browser } from '../../web/shop-under-test.js';

export interface ServedShop {
  readonly address: string;
  /** Of a fitter's session; another one after every passphrase. */
  cookie: string;
  readonly person: { readonly name: string; readonly passphrase: string };
  /** The cookie of somebody else, who only looks. */
  readonly looker: string;
  /** Jobs that are finished but for their record, besides the demonstration's own. */
  readonly jobs: readonly string[];
}

/** What the process held since it was told to watch. */
export interface LoopHeld {
  readonly p99Ms: number;
  readonly mostMs: number;
  readonly mostMb: number;
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
  config: { logLevel: 'silent' },
  store,
  clock,
  requestsPerMinute: Number.MAX_SAFE_INTEGER,
});
const [fitter, other] = people;
if (fitter === undefined || other === undefined) throw new Error('the demonstration has not two people');
const browser = new Browser(app);
await browser.signIn(fitter.signIn, fitter.passphrase);
const looker = new Browser(app);
await looker.signIn(other.signIn, other.passphrase);
await app.listen({ port: 0, host: '127.0.0.1' });
const { port } = app.server.address() as AddressInfo;
process.send?.({
  address: `http://127.0.0.1:${port}`,
  cookie: browser.cookie,
  person: fitter,
  looker: looker.cookie,
  jobs: numbers,
} satisfies ServedShop);
const delay = monitorEventLoopDelay({ resolution: 5 });
process.on('message', (word) => process.send?.(word === 'watch' ? watch() : held()));
process.on('disconnect', () => void app.close().then(() => store.close()));

/** The kernel forgets the most that was held so far. */
function watch(): null {
  writeFileSync('/proc/self/clear_refs', '5');
  delay.reset();
  delay.enable();
  return null;
}

function held(): LoopHeld {
  delay.disable();
  const kilobytes = /VmHWM:\s+(\d+) kB/.exec(readFileSync('/proc/self/status', 'utf8'))?.[1];
  return {
    p99Ms: delay.percentile(99) / 1e6,
    mostMs: delay.max / 1e6,
    mostMb: Number(kilobytes) / 1024,
  };
}

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

/** Takes the last reading again and again until the logbook has so many entries, and has the second look signed again. */
function lengthen(store: Store, job: string, wanted: number): void {
  const last = (kind: Entry['kind']) =>
    store.logbook.log(job).entries.findLast((e) => e.kind === kind) as Entry;
  for (let k = store.logbook.entries(job).length + 1; k < wanted; k += 1)
    writeAgain(store, last('reading taken'), `taken-again-${job}-${k}`);
  if (wanted > 0) writeAgain(store, last('second look signed'), `signed-again-${job}`);
}

function writeAgain({ logbook, shop }: Store, { job, kind, subject, body, by }: Entry, key: string): void {
  const { people } = shop.state();
  const person = people.find((p) => p.id === by.id);
  if (person === undefined) throw new Error(`${by.name} is nobody here`);
  const again = { kind, subject, body } as NewEntry;
  const written = logbook.append({
    job,
    key,
    by: person,
    content: key,
    decide: (log) => accept(log, again, { by: person, people }),
  });
  if (!written.ok) throw new Error(written.issues[0]?.message);
}
