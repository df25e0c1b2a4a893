import type { Buffer } from 'node:buffer';
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

/** What a record says of itself, and nothing more of it read. Throws PdfError. */
export function attachedFacts(pdf: PdfFile): RecordFacts {
  const [file] = namedFiles(pdf, 'record.json');
  if (file === undefined) throw new PdfError('lacks the attachment record.json');
  return factsFrom(file.file.data.toString('utf8'));
}

/** What a record.json says. Throws PdfError where no record says that. */
export function factsFrom(text: string): RecordFacts {
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
