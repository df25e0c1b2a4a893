import type { EntryOf } from './entry.js';
import type { Shop } from './fold-shop.js';

/** How long a shop signed with a key: UTC, ISO 8601; `until` is open for the key in force. */
interface KeyTerm {
  readonly fingerprint: string;
  readonly from: string;
  readonly until?: string | undefined;
  /** Why the key that came after it was made. */
  readonly endedBecause?: string | undefined;
}

/** Whether a record was signed with a key that this shop never had: its logbook came from another one. */
export function isOfAnotherShop({ keys }: Pick<Shop, 'keys'>, { body }: EntryOf<'record issued'>): boolean {
  return !keys.some(({ fingerprint }) => fingerprint === body.fingerprint);
}

/** The keys of a shop, the first one first. */
export function keyTerms({ keys }: Pick<Shop, 'keys'>): KeyTerm[] {
  return keys.map(({ fingerprint, at }, k) => {
    const next = keys[k + 1];
    return {
      fingerprint,
      from: at,
      ...(next === undefined ? {} : { until: next.at, endedBecause: next.reason }),
    };
  });
}
