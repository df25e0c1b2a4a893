import { createHash } from 'node:crypto';
import { canonicalJson, type Json } from './canonical.js';

/** The `previous` of the first entry in a chain. */
export const chainStart = '0'.repeat(64);

/** What a digest covers: the entry with the digest before it, and without its own. */
export interface Link {
  readonly seq: number;
  readonly previous: string;
  readonly digest: string;
}

/** SHA-256 (hex) over the canonical text of an entry without its own `digest`. @source FIPS 180-4, RFC 8785 */
export function entryDigest(entry: object): string {
  const { digest: _own, ...covered } = entry as { digest?: string };
  return createHash('sha256')
    .update(canonicalJson(covered as Json), 'utf8')
    .digest('hex');
}

/** The entry in its place: numbered after the last, tied to it, and sealed with its own digest. */
export function seal<T extends object>(entry: T, after: Link | undefined): T & Link {
  const placed = { ...entry, seq: (after?.seq ?? 0) + 1, previous: after?.digest ?? chainStart };
  return { ...placed, digest: entryDigest(placed) };
}

/**
 * The first thing wrong with a chain, in words with the entry's number, or undefined where every entry follows from
 * the one before. A chain proves order, not length: compare the newest digest with one kept elsewhere too.
 */
export function chainFault(entries: readonly (Link & object)[]): string | undefined {
  let last: Link | undefined;
  for (const entry of entries) {
    if (entry.seq !== (last?.seq ?? 0) + 1)
      return `entry ${entry.seq} stands where ${(last?.seq ?? 0) + 1} should`;
    if (entry.previous !== (last?.digest ?? chainStart))
      return `entry ${entry.seq} does not follow from the one before it`;
    if (entryDigest(entry) !== entry.digest) return `entry ${entry.seq} is not what was written`;
    last = entry;
  }
  return undefined;
}
