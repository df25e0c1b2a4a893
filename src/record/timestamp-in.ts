import { Buffer } from 'node:buffer';
import { DerError, readElement } from './der.js';
import { readSignedData } from './signed-data.js';
import { checkTimestamp, type Timestamp, TimestampError } from './timestamp-token.js';

/** The timestamp that a record carries, where it holds over its signature; cheap, since nothing else of the file is looked at. */
export function timestampIn(pdf: Buffer, issuedAt: string): Timestamp | undefined {
  try {
    const { signature, timestamp: token } = partsOf(pdf, signatureIn(pdf));
    return token && checkTimestamp({ token, signature, at: new Date(issuedAt) });
  } catch (error) {
    if (error instanceof TimestampError || error instanceof DerError) return undefined;
    throw error;
  }
}

/** What the signature of a signed record, at this span of it, is made of. Throws DerError. */
export function partsOf(pdf: Buffer, { from, to }: ReturnType<typeof signatureIn>) {
  return readSignedData(readElement(Buffer.from(pdf.toString('latin1', from, to), 'hex')).whole);
}

/** The span of the signature's hexadecimal digits, as the byte range of a signed record leaves it open. */
export function signatureIn(pdf: Buffer): { from: number; to: number } {
  const at = pdf.lastIndexOf('/ByteRange [0 ', undefined, 'latin1');
  const [, from, to] = /\[0 (\d+) (\d+) /.exec(pdf.toString('latin1', at, at + 60)) ?? [];
  return { from: Number(from) + 1, to: Number(to) - 1 };
}
