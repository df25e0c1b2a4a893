import { rmSync } from 'node:fs';
import { onTestFinished } from 'vitest';
import type { Result } from '../../src/errors.js';
import type { NewEntry } from '../../src/logbook/entry.js';
import type { Append } from '../../src/store/logbook-store.js';
import { openStore, type Store } from '../../src/store/open-store.js';
import { scratchFolder } from '../scratch-folder.js';

export const ines = { id: 'ines', name: 'Ines Okafor' };
export const tam = { id: 'tam', name: 'Tam Whitlock' };

/** A folder that is gone after the test. */
export function tempFolder(): string {
  const dir = scratchFolder();
  onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
}

/** A clock that stands still until it is moved. */
export function standingClock(start = '2026-11-25T08:00:00.000Z') {
  let now = new Date(start).getTime();
  return Object.assign(() => new Date(now), {
    move(ms: number) {
      now += ms;
    },
  });
}

export function tempStore(dir = tempFolder(), clock: () => Date = standingClock()): Store {
  const store = openStore({ dir, clock });
  onTestFinished(() => store.close());
  return store;
}

export const described: NewEntry = {
  kind: 'job described',
  subject: 'job',
  body: {
    vehicle: { description: 'Marginalia, a high-roof panel van', plate: '', vin: '', invented: true },
    owner: 'Odile Brandt',
    place: 'Thimble Lane',
    fitter: 'Ines Okafor',
    checker: 'Tam Whitlock',
  },
};

export const noted = (text: string): NewEntry => ({
  kind: 'defect raised',
  subject: 'job',
  body: { what: text, suspects: [] },
});

let keys = 0;
export const freshKey = () => `test-key-${String(++keys).padStart(6, '0')}`;

/** The first record of a job, as its entry tells of it. */
export const recordIssued: NewEntry = {
  kind: 'record issued',
  subject: 'job',
  body: {
    revision: 1,
    sha256: '1'.repeat(64),
    bytes: 9,
    head: '2'.repeat(64),
    fingerprint: '3'.repeat(64),
    signature: { name: 'Ines Okafor', strokes: [] },
    worksAlone: false,
  },
};

/** A job with its first entries; answers its number. */
export function openedJob(store: Pick<Store, 'jobs'>, entries: readonly NewEntry[] = [described]): string {
  const decide = writing(...entries);
  return made(store.jobs.open({ by: ines, key: freshKey(), content: 'open', decide })).number;
}

/** The numbers of all jobs of a store. */
export const jobNumbers = ({ db }: Pick<Store, 'db'>) =>
  db.prepare('SELECT number FROM jobs ORDER BY number').pluck().all() as string[];

/** A form that Ines sends about a job, for which `decide` says what is written. */
export function sendForm(store: Store, job: string, decide: Append['decide'], more: Partial<Append> = {}) {
  return store.logbook.append({ job, key: freshKey(), by: ines, content: '', decide, ...more });
}

/** What a form that is taken writes. */
export const writing =
  (...value: NewEntry[]): Append['decide'] =>
  () => ({ ok: true, value });

/** One more entry in a job. */
export function addNote(store: Store, job: string, text: string, key = freshKey()) {
  return sendForm(store, job, writing(noted(text)), { key, content: { text } });
}

export function made<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.issues.map((i) => `${i.field} ${i.message}`).join('; '));
  return result.value;
}
