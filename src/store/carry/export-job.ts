import type { Entry } from '../../logbook/entry.js';
import type { Shop } from '../../logbook/fold-shop.js';
import type { Role } from '../../logbook/shop-entry.js';
import type { Store } from '../open-store.js';

/**
 * A job as a file of the format `inlet-job/1`: the logbook as it was sealed, with the photos and records it names
 * (left out where `blobs` is false: a record carries the rest of the file in itself).
 */
export function exportJob(store: Store, number: string, wish: { blobs?: boolean } = {}): string {
  return `${JSON.stringify(exportedJob(store, number, wish), undefined, 1)}\n`;
}

/** The same as the value that the text holds. */
export function exportedJob(store: Store, number: string, { blobs: whole = true } = {}) {
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
    photos: blobs(whole ? entries : [], 'photo added', (entry) => [
      entry.body.photo,
      store.photos.get(entry.body.photo)?.jpeg,
    ]),
    records: blobs(whole ? entries : [], 'record issued', (entry) => [
      entry.body.sha256,
      store.records.bySha256(entry.body.sha256)?.pdf,
    ]),
    entries,
  };
}

/** Every role that a person of the shop has held; of another, whose job was imported, those that their entries show. */
function rolesOf(id: string, shop: Shop, entries: readonly Entry[]): Role[] {
  const held = shop.entries.flatMap((entry) =>
    (entry.kind === 'person added' || entry.kind === 'person changed') && entry.subject === id
      ? entry.body.roles
      : [],
  );
  const shown = entries
    .filter((entry) => entry.by.id === id && entry.kind !== 'owner acknowledged')
    .map((entry): Role => (checkersWork.has(entry.kind) ? 'checker' : 'fitter'));
  return [...new Set(held.length > 0 ? held : shown)].sort();
}

const checkersWork: ReadonlySet<Entry['kind']> = new Set(['second look signed', 'concession granted']);

function blobs<K extends Entry['kind']>(
  entries: readonly Entry[],
  kind: K,
  find: (entry: Extract<Entry, { kind: K }>) => [string, Buffer | undefined],
): Record<string, string> {
  const found = entries
    .filter((entry): entry is Extract<Entry, { kind: K }> => entry.kind === kind)
    .map(find)
    .flatMap(([id, bytes]) => (bytes === undefined ? [] : [[id, bytes.toString('base64')] as const]));
  return Object.fromEntries(found);
}
