import type { Buffer } from 'node:buffer';
import { PdfError, PdfRef, PdfString, type PdfValue } from './pdf-value.js';
import { nameIn, type PdfFile, textIn } from './read-pdf.js';
import { type RecordFacts, recordFactsSchema } from './record-facts.js';

const mostAttached = 32 * 1024 * 1024;
/** A record has five. */
const mostFiles = 20;

/** A file that travels inside the record. */
export interface Attachment {
  readonly name: string;
  readonly description: string;
  /** Its media type. */
  readonly type: string;
  readonly data: Buffer;
}

/** What a record says of itself, and nothing more of it read. Throws PdfError. */
export function attachedFacts(pdf: PdfFile): RecordFacts {
  const [file] = namedFiles(pdf, 'record.json');
  if (file === undefined) throw new PdfError('lacks the attachment record.json');
  return factsFrom(file.file.data.toString('utf8'));
}

/** What a record.json says. Throws PdfError where no record says that. */
export function factsFrom(text: string): RecordFacts {
  const facts = recordFactsSchema.safeParse(jsonSaidOnce(text));
  if (!facts.success) throw new PdfError('says of itself what no record says');
  return facts.data;
}

/**
 * The value of a JSON text as this program writes it. Throws PdfError where it is written otherwise: of a thing that is said twice, two
 * readers would believe one each.
 */
export function jsonSaidOnce(text: string): unknown {
  const value: unknown = JSON.parse(text);
  if (text !== JSON.stringify(value) && text !== `${JSON.stringify(value, undefined, 1)}\n`)
    throw new PdfError('has data attached that no record writes so');
  return value;
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
  if (list.length > 2 * mostFiles) throw new PdfError('has more attached than a record has');
  let left = mostAttached;
  const seen = new Set<string>();
  return list.flatMap((entry, k) => {
    if (k % 2 !== 0) return [];
    const name = entry instanceof PdfString ? entry.bytes.toString('latin1') : '';
    if (seen.has(name)) throw new PdfError(`has two attachments named ${name}`);
    seen.add(name);
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
