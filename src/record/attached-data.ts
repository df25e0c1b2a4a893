import type { Buffer } from 'node:buffer';
import { chainFault } from '../logbook/chain.js';
import { Broken } from './broken.js';
import { composeAgain, type RecomposedRecord } from './compose-again.js';
import { PdfError, PdfRef, PdfString, type PdfValue } from './pdf-value.js';
import { nameIn, type PdfFile, textIn } from './read-pdf.js';
import { type RecordFacts, recordFactsSchema } from './record-facts.js';

const mostAttached = 32 * 1024 * 1024;

/** A file that travels inside the record. */
export interface Attachment {
  readonly name: string;
  readonly description: string;
  /** Its media type. */
  readonly type: string;
  readonly data: Buffer;
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

/** What a record says of itself, and nothing more of it read. Throws PdfError. */
export function attachedFacts(pdf: PdfFile): RecordFacts {
  const [file] = namedFiles(pdf, 'record.json');
  if (file === undefined) throw new PdfError('lacks the attachment record.json');
  return factsFrom(file.file.data.toString('utf8'));
}

function factsFrom(text: string): RecordFacts {
  const facts = recordFactsSchema.safeParse(JSON.parse(text));
  if (!facts.success) throw new PdfError('says of itself what no record says');
  return facts.data;
}

/** Every attachment, in the order in which it was put into the file. Throws PdfError. */
export function attachmentsIn(pdf: PdfFile): Attachment[] {
  const placed = pdf.resolve(pdf.root.get('AF'));
  const placeOf = ({ ref }: { ref: PdfValue | undefined }) =>
    Array.isArray(placed)
      ? placed.findIndex((at) => at instanceof PdfRef && ref instanceof PdfRef && at.id === ref.id)
      : -1;
  return namedFiles(pdf)
    .sort((a, b) => placeOf(a) - placeOf(b))
    .map(({ file }) => file);
}

function namedFiles(pdf: PdfFile, only?: string): { ref: PdfValue | undefined; file: Attachment }[] {
  const names = pdf.dict(pdf.root.get('Names'), 'attachments');
  const list = pdf.dict(names.get('EmbeddedFiles'), 'attachments').get('Names');
  if (!Array.isArray(list)) throw new PdfError('lacks attachments');
  let left = mostAttached;
  return list.flatMap((entry, k) => {
    if (k % 2 !== 0) return [];
    const name = entry instanceof PdfString ? entry.bytes.toString('latin1') : '';
    if (only !== undefined && name !== only) return [];
    const file = pdf.dict(list[k + 1], `the attachment ${name}`);
    const stream = pdf.dict(file.get('EF'), 'attachments').get('F');
    const data = pdf.stream(stream, left);
    left -= data.length;
    const description = textIn(file, 'Desc')?.bytes.toString('latin1') ?? '';
    const type = nameIn(pdf.dict(stream, 'attachments'), 'Subtype') ?? '';
    return [{ ref: list[k + 1], file: { name, description, type, data } }];
  });
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
