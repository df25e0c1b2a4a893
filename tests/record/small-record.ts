import { Buffer } from 'node:buffer';
import PDFDocument from 'pdfkit';
import { chainStart, seal } from '../../src/logbook/chain.js';
import { makeShopKeys, openSigner, type Signer } from '../../src/record/keys.js';
import type { RecordFacts } from '../../src/record/record-facts.js';
import { addSignatureField } from '../../src/record/signature-field.js';

/** A shop's signer made for a test, with the moment from which its certificate holds. */
export function testSigner(now = new Date('2026-03-02T09:00:00Z')): Signer {
  const secret = 'kept elsewhere';
  return openSigner({ ...makeShopKeys({ shopName: 'Thimble Lane Vanworks', now, secret }), secret });
}

/** The smallest PDF that is a record in every way but its pages, unsigned. */
export async function smallRecord(
  signer: Signer,
  at = new Date('2026-03-04T10:00:00Z'),
  change: Partial<RecordFacts> = {},
): Promise<Buffer> {
  const first = seal({ job: '2026-014', kind: 'job described' }, undefined);
  const entries = [first, seal({ job: '2026-014', kind: 'step done' }, first)];
  const facts: RecordFacts = {
    format: 'inlet-record/1',
    job: '2026-014',
    revision: 1,
    issuedAt: at.toISOString().replace('.000', ''),
    issuedBy: 'Ines Okafor',
    shop: 'Thimble Lane Vanworks',
    van: 'Marginalia',
    entries: entries.length,
    head: entries.at(-1)?.digest ?? chainStart,
    rules: '2026.11',
    fingerprint: signer.fingerprint,
    rootFingerprint: signer.rootFingerprint,
    ...change,
  };
  const pdf = new PDFDocument({
    pdfVersion: '1.7',
    info: { Title: 'Record', Creator: 'Inlet Logbook', Producer: 'Inlet Logbook', CreationDate: at },
  });
  for (const [name, data] of Object.entries({ 'record.json': facts, 'job.json': { entries } }))
    pdf.file(Buffer.from(JSON.stringify(data)), { name, type: 'application/json', creationDate: at });
  addSignatureField(pdf, { at, name: 'Thimble Lane Vanworks', reason: 'Record issued' });
  return ended(pdf);
}

/** The bytes of a document that is drawn to its end. */
export function ended(pdf: PDFKit.PDFDocument): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const chunks: Buffer[] = [];
    pdf.on('data', (chunk: Buffer) => chunks.push(chunk));
    pdf.on('end', () => resolve(Buffer.concat(chunks)));
    pdf.on('error', reject);
    pdf.end();
  });
}
