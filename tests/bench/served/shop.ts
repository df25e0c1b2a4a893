import { readFile } from 'node:fs/promises';
import type { FileIo } from '../../../src/command.js';
import { makeDemo } from '../../../src/command-line/make-demo.js';
import { readJobFileAt } from '../../../src/command-line/read-job-file-at.js';
import type { Entry, EntryOf, NewEntry } from '../../../src/logbook/entry.js';
import { accept } from '../../../src/steps/accept.js';
import { importJob } from '../../../src/store/carry/import-job.js';
import type { JobFile } from '../../../src/store/carry/job-file.js';
import { openStore, type Store } from '../../../src/store/open-store.js';
import type { NewPhoto } from '../../../src/store/photo-store.js';
import { type ShopUnderTest, signedIn } from '../../web/shop-under-test.js';
import { type Served, serve } from './start.js';

export interface DemoShop {
  /** Of a fitter's session; another one after every passphrase. */
  cookie: string;
  readonly person: { readonly name: string; readonly passphrase: string };
  /** The cookie of somebody else, who only looks. */
  readonly looker: string;
  /** Jobs that are finished but for their record, besides the demonstration's own. */
  readonly jobs: readonly string[];
}

interface Size {
  readonly jobs: number;
  /** At least so many in each job; as many as the demonstration's where nothing is said. */
  readonly entries?: number;
  /** In each job, besides the small ones of the demonstration. */
  readonly photos?: readonly NewPhoto[];
}

/** The demonstration's shop with so many jobs besides its own, served by the compiled product. */
export async function serveDemo(dir: string, size: Size, level?: string): Promise<Served & DemoShop> {
  const made = await makeDemoShop(dir, size);
  return Object.assign(await serve(dir, level), made);
}

async function makeDemoShop(dir: string, { jobs, entries = 0, photos = [] }: Size): Promise<DemoShop> {
  const clock = () => new Date();
  const store = openStore({ dir, clock });
  const file = await readJobFileAt('bench', 'seed-demo/job.json', {
    readBytes: (path: string) => readFile(path),
  } as unknown as FileIo);
  const { people } = await makeDemo(store, clock, file);
  const numbers: string[] = [];
  for (let k = 1; k <= jobs; k += 1) {
    const { number } = await importJob(store, later(file, k));
    addPhotos(store, number, photos);
    lengthen(store, number, entries);
    numbers.push(number);
  }
  const [fitter, other] = people;
  if (fitter === undefined || other === undefined) throw new Error('the demonstration has not two people');
  const cookieOf = ({ signIn }: { signIn: string }) => {
    const person = store.shop.state().people.find((p) => p.signIn === signIn);
    return signedIn({ store } as ShopUnderTest, person?.id ?? '').cookie;
  };
  const made = { cookie: cookieOf(fitter), person: fitter, looker: cookieOf(other), jobs: numbers };
  store.close();
  return made;
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

/** Adds photos to the step that has the last one. */
function addPhotos(store: Store, job: string, photos: readonly NewPhoto[]): void {
  const before = store.logbook.log(job).photos.at(-1) as EntryOf<'photo added'>;
  for (const taken of photos) {
    const { id: photo, original, widthPx, heightPx } = taken;
    const body = { ...before.body, photo, original, widthPx, heightPx };
    writeAgain(store, { ...before, body }, `photo-${job}-${photo.slice(0, 16)}`, [taken]);
  }
}

/** Takes the last reading again and again until the logbook has so many entries, and has the second look signed again. */
function lengthen(store: Store, job: string, wanted: number): void {
  const last = (kind: Entry['kind']) =>
    store.logbook.log(job).entries.findLast((e) => e.kind === kind) as Entry;
  for (let k = store.logbook.entries(job).length + 1; k < wanted; k += 1)
    writeAgain(store, last('reading taken'), `taken-again-${job}-${k}`);
  if (wanted > 0) writeAgain(store, last('second look signed'), `signed-again-${job}`);
}

function writeAgain(
  { logbook, shop }: Store,
  { job, kind, subject, body, by }: Entry,
  key: string,
  photos: readonly NewPhoto[] = [],
): void {
  const { people } = shop.state();
  const person = people.find((p) => p.id === by.id);
  if (person === undefined) throw new Error(`${by.name} is nobody here`);
  const again = { kind, subject, body } as NewEntry;
  const written = logbook.append({
    job,
    key,
    by: person,
    content: key,
    attach: { photos },
    decide: (log) => accept(log, again, { by: person, people }),
  });
  if (!written.ok) throw new Error(written.issues[0]?.message);
}
