import { canonicalJson, type Json } from '../logbook/canonical.js';
import { chainFault } from '../logbook/chain.js';
import type { Entry } from '../logbook/entry.js';
import { foldJob } from '../logbook/job-log.js';
import { sha256Of } from '../logbook/sha256.js';
import { assess } from '../steps/assess.js';
import type { Assessment } from '../steps/assessment.js';
import { readingsFileOf } from '../steps/readings-file-of.js';
import { attachmentsIn, factsFrom } from './attached-data.js';
import { Broken } from './broken.js';
import { type RecordDocument, recordDocument } from './document.js';
import { PdfError } from './pdf-value.js';
import type { PdfFile } from './read-pdf.js';
import { readingsCsv } from './readings-csv.js';
import type { RecordFacts } from './record-facts.js';

/** SHA-256 (hex) of everything that a record prints, as plain data. */
export function documentDigest(document: RecordDocument): string {
  return sha256Of(canonicalJson(document as unknown as Json));
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
    const { shop, revision, issuedAt, issuedBy, fingerprint, rootFingerprint, rules } = facts;
    const input = { ...from, shop, revision, issuedAt, issuedBy, fingerprint, rootFingerprint, rules };
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

/** What a record says of itself, and what composing it again from its own logbook gives. Throws PdfError or Broken. */
export function attachedData(pdf: PdfFile): { facts: RecordFacts; recomposed: RecomposedRecord } {
  const files = new Map(attachmentsIn(pdf).map((file) => [file.name, file.data]));
  const textOfFile = (name: string) => {
    const data = files.get(name);
    if (data === undefined) throw new PdfError(`lacks the attachment ${name}`);
    return data.toString('utf8');
  };
  const facts = factsFrom(textOfFile('record.json'));
  const job = JSON.parse(textOfFile('job.json')) as { entries?: unknown };
  const entries = checkLogbook(job.entries, facts);
  return { facts, recomposed: composeAgain(facts, entries, textOfFile) };
}

/** The attached logbook must hang together and end at the digest that the record names. */
function checkLogbook(entries: unknown, facts: RecordFacts): readonly unknown[] {
  if (!Array.isArray(entries) || entries.length !== facts.entries)
    throw new Broken('The attached logbook is not as long as the record says.');
  const fault = chainFault(entries);
  if (fault) throw new Broken(`The attached logbook does not hang together: ${fault}.`);
  if (entries.length > 0 && entries.at(-1).digest !== facts.head)
    throw new Broken('The attached logbook does not end at the digest that the record names.');
  return entries;
}
