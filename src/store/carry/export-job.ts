import type { Entry } from '../../logbook/entry.js';
import type { Shop } from '../../logbook/fold-shop.js';
import type { Role } from '../../logbook/shop-entry.js';
import { mayWrite } from '../../steps/entry-kinds.js';
import type { Store } from '../open-store.js';
import type { Zippable } from './job-zip.js';

/**
 * A job as a file of the format `inlet-job/1`: the logbook as it was sealed, with the photos and records it names
 * (left out where `blobs` is false: a record carries the rest of the file in itself).
 */
export function exportJob(store: Store, number: string, wish: { blobs?: boolean } = {}): string {
  return `${JSON.stringify(exportedJob(store, number, wish), undefined, 1)}\n`;
}

/** The same as the value that the text holds. */
function exportedJob(store: Store, number: string, { blobs: whole = true } = {}) {
  const entries = store.logbook.entries(number);
  const shop = store.shop.state();
  const authors = new Map(entries.map((entry) => [entry.by.id, entry.by]));
  return {
    format: 'inlet-job/1',
    job: number,
    people: [...authors.values()].map(({ id, name }) => ({
      id,
      name,
      roles: rolesOf(id, shop, entries),
    })),
    instruments: shop.instruments.map(({ retired: _retired, ...instrument }) => instrument),
    photos: inBase64(photosOf(store, whole ? entries : [])),
    records: inBase64(recordsOf(store, whole ? entries : [])),
    entries,
  };
}

/**
 * Every role that a person of the shop has held, and those that their entries show where these would not do: written in another shop,
 * by somebody whom this one does not know or gave other roles.
 */
function rolesOf(id: string, shop: Shop, entries: readonly Entry[]): Role[] {
  const held = shop.entries.flatMap((entry) =>
    (entry.kind === 'person added' || entry.kind === 'person changed') && entry.subject === id
      ? entry.body.roles
      : [],
  );
  const shown = entries
    .filter((entry) => entry.by.id === id && !mayWrite(entry.kind, held))
    .map((entry): Role => whoseWork[entry.kind] ?? 'fitter');
  return [...new Set([...held, ...shown])].sort();
}

/** What no fitter may write. */
const whoseWork: Partial<Record<Entry['kind'], Role>> = {
  'second look signed': 'checker',
  'concession granted': 'checker',
  'instrument questioned': 'keeper',
};

/** A job as `zipJob` takes it: photos and records are read from the store one after the other, while the zip is written. */
export function zippableJob(store: Store, number: string): Zippable {
  const { photos: _photos, records: _records, ...job } = exportedJob(store, number, { blobs: false });
  return { job, photos: photosOf(store, job.entries), records: recordsOf(store, job.entries) };
}

function* photosOf(store: Store, entries: readonly Entry[]): Generator<Blob> {
  const named = entries.flatMap((entry) => (entry.kind === 'photo added' ? [entry.body.photo] : []));
  yield* read(named, (id) => store.photos.get(id)?.jpeg);
}

function* recordsOf(store: Store, entries: readonly Entry[]): Generator<Blob> {
  const named = entries.flatMap((entry) => (entry.kind === 'record issued' ? [entry.body.sha256] : []));
  yield* read(named, (sha256) => store.records.bySha256(sha256)?.pdf);
}

type Blob = readonly [digest: string, bytes: Buffer];

/** Each once, though an entry may name again what another named. */
function* read(digests: readonly string[], find: (digest: string) => Buffer | undefined): Generator<Blob> {
  for (const digest of new Set(digests)) {
    const bytes = find(digest);
    if (bytes !== undefined) yield [digest, bytes];
  }
}

function inBase64(blobs: Iterable<Blob>): Record<string, string> {
  return Object.fromEntries(Array.from(blobs, ([digest, bytes]) => [digest, bytes.toString('base64')]));
}
