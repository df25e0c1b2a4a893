import { Buffer } from 'node:buffer';

/** Room for the signature in the file, in bytes: several times what it takes, so that a time-stamp would fit too. */
export const reservedBytes = 16_384;

const blank = '**********';
/** What stands in an unsigned file where the byte range will be written over it, at the same length. */
export const blankByteRange = `/ByteRange [0 /${blank} /${blank} /${blank}]`;

/** The parts of a PDF under construction that a signature field is made with. */
interface PdfParts {
  ref(data: object): { data: object; end(bytes?: Uint8Array): void };
  readonly page: { readonly dictionary: object; readonly annotations: object[] };
  readonly _root: { readonly data: Record<string, unknown> };
  _acroform?: object;
}

/**
 * Puts an empty signature field on the present page: certifying (no change permitted), ETSI.CAdES.detached, of no size.
 * Call it before the document is ended. `at` must be the time that the document prints.
 * @source ISO 32000-1 12.7.4.5, 12.8.1, 12.8.2.2; ETSI EN 319 142-1
 */
export function addSignatureField(document: object, field: { at: Date; name: string; reason: string }): void {
  const pdf = document as PdfParts;
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
  const appearance = pdf.ref({ Type: 'XObject', Subtype: 'Form', BBox: [0, 0, 0, 0], Resources: {} });
  const widget = pdf.ref({
    Type: 'Annot',
    Subtype: 'Widget',
    FT: 'Sig',
    T: new String('Record'),
    TU: new String(field.reason),
    Rect: [0, 0, 0, 0],
    // Print and locked.
    F: 132,
    AP: { N: appearance },
    V: signature,
    P: pdf.page.dictionary,
  });
  pdf.page.annotations.push(widget);
  const form = pdf.ref({ SigFlags: 3, Fields: [widget], DR: { Font: {} } });
  const permissions = pdf.ref({ DocMDP: signature });
  pdf._root.data.AcroForm = form;
  pdf._root.data.Perms = permissions;
  // The document ends its form by itself and looks for these two.
  pdf._acroform = { fonts: {}, defaultFont: 'none' };
  for (const part of [signature, widget, permissions]) part.end();
  // A stream of one empty operator: an empty one would not be written at all.
  appearance.end(Buffer.from('q Q\n'));
}
