import { Buffer } from 'node:buffer';
import { AppError } from '../errors.js';
import type { Signer } from './keys.js';
import { blankByteRange } from './signature-field.js';
import { verifyRecord } from './verify-pdf.js';

/**
 * Signs a drawn record: fills the byte range and the signature of its field, and looks at the outcome with our own
 * eyes before giving it away. Throws AppError `unexpected` where the file has no empty field or does not verify.
 */
export async function signPdf(unsigned: Uint8Array, signer: Signer): Promise<Buffer> {
  const signed = Buffer.from(unsigned);
  const { rangeAt, from, to } = emptyField(signed);
  const range = `/ByteRange [0 ${from} ${to} ${signed.length - to}]`;
  signed.write(range.padEnd(blankByteRange.length, ' '), rangeAt, 'latin1');
  const cms = await signer.sign(signed.subarray(0, from), signed.subarray(to));
  const hex = Buffer.from(cms).toString('hex');
  const room = to - from - 2;
  if (hex.length > room)
    throw new AppError('unexpected', 'The signature does not fit in the room kept for it.');
  signed.write(hex.padEnd(room, '0'), from + 1, 'latin1');
  const seen = await verifyRecord(signed, { fingerprint: signer.fingerprint });
  if (seen.state !== 'intact')
    throw new AppError('unexpected', 'The record was signed but does not verify; it was not issued.', {
      facts: { reasons: seen.reasons },
    });
  return signed;
}

/** Where the byte range stands, and the span of the signature's `<…>`. */
function emptyField(pdf: Buffer): { rangeAt: number; from: number; to: number } {
  const rangeAt = pdf.indexOf(blankByteRange, 0, 'latin1');
  const again = pdf.indexOf(blankByteRange, rangeAt + 1, 'latin1');
  const key = pdf.indexOf('/Contents <', rangeAt, 'latin1');
  const from = key + '/Contents '.length;
  const to = pdf.indexOf('>', from, 'latin1') + 1;
  if (rangeAt < 0 || again >= 0 || key < 0 || to <= 0)
    throw new AppError('unexpected', 'The file has no single empty signature field.');
  return { rangeAt, from, to };
}
