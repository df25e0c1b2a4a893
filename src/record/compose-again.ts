import { createHash } from 'node:crypto';
import { canonicalJson, type Json } from '../logbook/canonical.js';
import type { Entry } from '../logbook/entry.js';
import { foldJob } from '../logbook/job-log.js';
import { assess } from '../steps/assess.js';
import type { Assessment } from '../steps/assessment.js';
import { readingsFileOf } from '../steps/readings-file-of.js';
import { type RecordDocument, recordDocument } from './document.js';
import { readingsCsv } from './readings-csv.js';
import type { RecordFacts } from './record-facts.js';

/** SHA-256 (hex) of everything that a record prints, as plain data. */
export function documentDigest(document: RecordDocument): string {
  return createHash('sha256')
    .update(canonicalJson(document as unknown as Json))
    .digest('hex');
}

/** Whether the attached logbook still gives what was printed; `not-said` where the record does not say from what it was composed. */
export type ComposedAgain = 'same' | 'different' | 'not-said';

/** The readings as they are attached: for a machine, and for a spreadsheet. */
export interface ReadingFiles {
  readonly 'readings.json': string;
  readonly 'readings.csv': string;
}

export function readingFiles(job: Assessment): ReadingFiles {
  return {
    'readings.json': `${JSON.stringify(readingsFileOf(job), null, 1)}\n`,
    'readings.csv': readingsCsv(job),
  };
}

/** What came of composing a record again; with the document where it is the one that was printed. */
export interface RecomposedRecord {
  readonly reads: ComposedAgain;
  readonly document?: RecordDocument;
}

/**
 * Composes a record again from the logbook attached to it, and the files of its readings, of which `attached` answers the text.
 * Different means that another version of this project made it, or none. Never throws for what the entries hold.
 */
export function composeAgain(
  facts: RecordFacts,
  entries: readonly unknown[],
  attached: (name: keyof ReadingFiles) => string,
): RecomposedRecord {
  const { composed } = facts;
  if (composed === undefined) return { reads: 'not-said' };
  const { digest, ...from } = composed;
  try {
    const job = assess(foldJob(entries as Entry[]));
    if (job === undefined) return { reads: 'different' };
    const { shop, revision, issuedAt, issuedBy, fingerprint, rootFingerprint } = facts;
    const input = { ...from, shop, revision, issuedAt, issuedBy, fingerprint, rootFingerprint };
    const files = readingFiles(job);
    const document = recordDocument(job, { ...input, job: facts.job });
    const same =
      documentDigest(document) === digest &&
      attached('readings.json') === files['readings.json'] &&
      attached('readings.csv') === files['readings.csv'];
    return same ? { reads: 'same', document } : { reads: 'different' };
  } catch {
    return { reads: 'different' };
  }
}
