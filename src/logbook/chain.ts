import { canonicalJson, type Json } from './canonical.js';
import { sha256Of } from './sha256.js';

/** The `previous` of the first entry in a chain. */
export const chainStart = '0'.repeat(64);

/** What a digest covers: the entry with the digest before it, and without its own. */
export interface Link {
  readonly seq: number;
  readonly previous: string;
  readonly digest: string;
}

/** SHA-256 (hex) over the canonical text of an entry without its own `digest`. @source FIPS 180-4, RFC 8785 */
function entryDigest(entry: object): string {
  const { digest: _own, ...covered } = entry as { digest?: string };
  return sha256Of(canonicalJson(covered as Json));
}

/** The entry in its place: numbered after the last, tied to it, and sealed with its own digest. */
export function seal<T extends object>(entry: T, after: Link | undefined): T & Link {
  const placed = { ...entry, seq: (after?.seq ?? 0) + 1, previous: after?.digest ?? chainStart };
  return { ...placed, digest: entryDigest(placed) };
}

/**
 * The first thing wrong with a chain, in words with the entry's number, or undefined where every entry follows from
 * the one before. `after` is the entry before the first of a chain's end. A chain proves order, not length: compare the
 * newest digest with one kept elsewhere too.
 */
export function chainFault(
  entries: readonly (Link & object)[],
  after?: Pick<Link, 'seq' | 'digest'>,
): string | undefined {
  let last = after;
  for (const entry of entries) {
    const fault = linkFault(entry, last);
    if (fault !== undefined) return `entry ${entry.seq ?? 'without a number'} ${fault}`;
    last = entry;
  }
  return undefined;
}

/** What is wrong with an entry in its place behind the one before it, in words without its number; undefined where nothing is. */
export function linkFault(
  entry: Link & object,
  before: Pick<Link, 'seq' | 'digest'> | undefined,
): string | undefined {
  const due = (before?.seq ?? 0) + 1;
  if (entry.seq !== due) return `stands where ${due} should`;
  if (entry.previous !== (before?.digest ?? chainStart)) return 'does not follow from the one before it';
  return isAsSealed(entry) ? undefined : 'is not what was written';
}

/** What has no canonical text was never sealed. */
function isAsSealed(entry: Link & object): boolean {
  try {
    return entryDigest(entry) === entry.digest;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}
