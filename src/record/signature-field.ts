import { Buffer } from 'node:buffer';

/** Room for the signature in the file, in bytes: several times what it takes, so that a time-stamp would fit too. */
export const reservedBytes = 16_384;

const blank = '**********';
/** What stands in an unsigned file where the byte range will be written over it, at the same length. */
export const blankByteRange = `/ByteRange [0 /${blank} /${blank} /${blank}]`;

/** The parts of a PDF under construction that a signature field is made with. */
interface PdfParts {
  ref(data: object): { data: object; end(bytes?: Uint8Array): void };
  annotate(x: number, y: number, w: number, h: number, options: object): unknown;
  readonly page: { readonly annotations: object[] };
  readonly _root: { readonly data: Record<string, unknown> };
  _acroform?: object;
}

interface SignatureField {
  /** Must be the time that the document prints. */
  readonly at: Date;
  readonly name: string;
  readonly reason: string;
  /** Where on the present page its frame is drawn, pt from the top left; without it the field has no size. */
  readonly box?: { readonly x: number; readonly y: number; readonly width: number; readonly height: number };
  /** The element of the structure that it belongs to. */
  readonly element?: object;
}

/**
 * Puts an empty signature field on the present page: certifying (no change permitted), ETSI.CAdES.detached, shown as a frame.
 * Once in a document, before it is ended.
 * @source ISO 32000-1 12.7.4.5, 12.8.1, 12.8.2.2; ETSI EN 319 142-1
 */
export function addSignatureField(document: object, field: SignatureField): void {
  const pdf = document as PdfParts;
  const { x, y, width, height } = field.box ?? { x: 0, y: 0, width: 0, height: 0 };
  const signature = pdf.ref({
    Type: 'Sig',
    Filter: 'Adobe.PPKLite',
    SubFilter: 'ETSI.CAdES.detached',
    ByteRange: [0, blank, blank, blank],
    Contents: Buffer.alloc(reservedBytes),
    M: field.at,
    Name: new String(field.name),
    Reason: new String(field.reason),
    Reference: [
      {
        Type: 'SigRef',
        TransformMethod: 'DocMDP',
        TransformParams: { Type: 'TransformParams', P: 1, V: '1.2' },
      },
    ],
  });
  const frame = pdf.ref({
    ...{ Type: 'XObject', Subtype: 'Form', Resources: {} },
    BBox: [0, 0, width, height],
  });
  pdf.annotate(x, y, width, height, {
    Subtype: 'Widget',
    FT: 'Sig',
    T: new String('Record'),
    TU: new String(field.reason),
    // Print and locked.
    F: 132,
    AP: { N: frame },
    V: signature,
    structParent: field.element,
  });
  const form = pdf.ref({ SigFlags: 3, Fields: [pdf.page.annotations.at(-1)], DR: { Font: {} } });
  const permissions = pdf.ref({ DocMDP: signature });
  pdf._root.data.AcroForm = form;
  pdf._root.data.Perms = permissions;
  // The document ends its form by itself and looks for these two.
  pdf._acroform = { fonts: {}, defaultFont: 'none' };
  for (const part of [signature, permissions]) part.end();
  // A field of no size has a stream of one empty operator: an empty one would not be written at all.
  const outline = `0.12 0.30 0.47 RG 0.8 w 0.4 0.4 ${width - 0.8} ${height - 0.8} re S`;
  frame.end(Buffer.from(`q ${width > 0 ? outline : ''} Q\n`));
}
