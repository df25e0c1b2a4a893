import type { Shop } from './fold-shop.js';

/** How long a shop signed with a key: UTC, ISO 8601; `until` is open for the key in force. */
interface KeyTerm {
  readonly fingerprint: string;
  readonly from: string;
  readonly until?: string | undefined;
  /** Why the key that came after it was made. */
  readonly endedBecause?: string | undefined;
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
