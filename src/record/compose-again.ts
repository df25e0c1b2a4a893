import { createHash } from 'node:crypto';
import { canonicalJson, type Json } from '../logbook/canonical.js';
import type { Entry } from '../logbook/entry.js';
import { foldJob } from '../logbook/job-log.js';
import { assess } from '../steps/assess.js';
import { type RecordDocument, recordDocument } from './document.js';
import type { RecordFacts } from './record-facts.js';

/** SHA-256 (hex) of everything that a record prints, as plain data. */
export function documentDigest(document: RecordDocument): string {
  return createHash('sha256')
    .update(canonicalJson(document as unknown as Json))
    .digest('hex');
}

/** Whether the attached logbook still gives what was printed; `not-said` where the record does not say from what it was composed. */
export type ComposedAgain = 'same' | 'different' | 'not-said';

/**
 * Composes a record again from what is attached to it. Different means that another version of this project made it, or none. Never
 * throws for what the entries hold.
 */
export function composeAgain(facts: RecordFacts, entries: readonly unknown[]): ComposedAgain {
  const { composed } = facts;
  if (composed === undefined) return 'not-said';
  const { digest, ...from } = composed;
  try {
    const job = assess(foldJob(entries as Entry[]));
    if (job === undefined) return 'different';
    const { shop, revision, issuedAt, issuedBy, fingerprint, rootFingerprint } = facts;
    const input = { ...from, shop, revision, issuedAt, issuedBy, fingerprint, rootFingerprint };
    return documentDigest(recordDocument(job, { ...input, job: facts.job })) === digest
      ? 'same'
      : 'different';
  } catch {
    return 'different';
  }
}
