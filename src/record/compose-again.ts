import { canonicalJson, type Json } from '../logbook/canonical.js';
import { chainFault } from '../logbook/chain.js';
import { type Entry, entryBodies } from '../logbook/entry.js';
import { foldJob } from '../logbook/job-log.js';
import { sha256Of } from '../logbook/sha256.js';
import { assess } from '../steps/assess.js';
import { type Attachment, attachmentsIn, factsFrom, jsonSaidOnce } from './attached-data.js';
import { attachmentsOf } from './attached-files.js';
import { Broken } from './broken.js';
import { type RecordDocument, recordDocument } from './document.js';
import { PdfError } from './pdf-value.js';
import type { PdfFile } from './read-pdf.js';
import type { RecordFacts } from './record-facts.js';

/** SHA-256 (hex) of everything that a record prints, as plain data. */
export function documentDigest(document: RecordDocument): string {
  return sha256Of(canonicalJson(document as unknown as Json));
}

/** Whether the attached logbook still gives what was printed; `not-said` where the record does not say from what it was composed. */
export type ComposedAgain = 'same' | 'different' | 'not-said';

/** What came of composing a record again; where it is the one that was printed, with what it is drawn from. */
export interface RecomposedRecord {
  readonly reads: ComposedAgain;
  readonly drawnFrom?: DrawnFrom;
}

/** What is printed, and the files that go with it. */
export interface DrawnFrom {
  readonly document: RecordDocument;
  readonly attachments: readonly Attachment[];
}

/**
 * Composes a record again from the logbook attached to it, and the files of its readings; `textOf` answers the text of an attachment.
 * Different means that another version of this project made it, or none. Never throws for what the entries hold.
 */
export function composeAgain(
  facts: RecordFacts,
  entries: readonly unknown[],
  textOf: (name: string) => string,
): RecomposedRecord {
  const { composed } = facts;
  if (composed === undefined) return { reads: 'not-said' };
  const { digest, ...from } = composed;
  try {
    const job = entries.every(isWritten) ? assess(foldJob(entries as Entry[])) : undefined;
    if (job === undefined) return { reads: 'different' };
    const document = recordDocument(job, { ...facts, ...from, zone: from.zone ?? 'UTC' });
    const attachments = attachmentsOf(job, facts, textOf('job.json'));
    const asAttached = (name: string) =>
      attachments.some((file) => file.name === name && file.data.toString('utf8') === textOf(name));
    const same =
      documentDigest(document) === digest &&
      document.van === facts.van &&
      asAttached('readings.json') &&
      asAttached('readings.csv');
    return same ? { reads: 'same', drawnFrom: { document, attachments } } : { reads: 'different' };
  } catch {
    return { reads: 'different' };
  }
}

/** Whether a logbook holds such an entry. Of anything else no meaning is asked: a run of a thousand outlets is reckoned for hours. */
function isWritten(entry: unknown): boolean {
  const { kind, body } = entry as Entry;
  return Object.hasOwn(entryBodies, kind) && entryBodies[kind].safeParse(body).success;
}

/** What a record says of itself, and what composing it again from its own logbook gives. Throws PdfError or Broken. */
export function attachedData(pdf: PdfFile): { facts: RecordFacts; recomposed: RecomposedRecord } {
  const files = new Map(attachmentsIn(pdf).map((file) => [file.name, file.data]));
  const textOf = (name: string) => {
    const data = files.get(name);
    if (data === undefined) throw new PdfError(`lacks the attachment ${name}`);
    return data.toString('utf8');
  };
  const facts = factsFrom(textOf('record.json'));
  const entries = checkLogbook(textOf('job.json'), facts);
  return { facts, recomposed: composeAgain(facts, entries, textOf) };
}

/** The attached logbook must be this job's, hang together and end at the digest that the record names. */
function checkLogbook(text: string, facts: RecordFacts): readonly unknown[] {
  const file = jsonSaidOnce(text) as { job?: unknown; entries?: unknown };
  const { entries } = file;
  if (!Array.isArray(entries) || entries.length !== facts.entries)
    throw new Broken('The attached logbook is not as long as the record says.');
  const fault = chainFault(entries);
  if (fault) throw new Broken(`The attached logbook does not hang together: ${fault}.`);
  if (entries.length > 0 && entries.at(-1).digest !== facts.head)
    throw new Broken('The attached logbook does not end at the digest that the record names.');
  if ([file, ...entries].some(({ job }) => job !== undefined && job !== facts.job))
    throw new Broken('The attached logbook is that of another job than the record says.');
  return entries;
}
