import { Buffer } from 'node:buffer';
import { createHash, randomBytes } from 'node:crypto';
import { DerError } from './der.js';
import { signedData } from './signed-data.js';
import type { TimestampAuthority } from './timestamp-authority.js';
import { timestampRequest, tokenIn } from './timestamp-exchange.js';
import { partsOf, signatureIn } from './timestamp-in.js';
import {
  checkTimestamp,
  plainToken,
  type Timestamp,
  TimestampError,
  type TimestampQuestion,
} from './timestamp-token.js';
import { verifyRecord } from './verify-pdf.js';

/** A record with what came of asking for a timestamp: the timestamp, or the sentence that says why there is none. */
export interface StampedRecord {
  readonly pdf: Buffer;
  readonly timestamp?: Timestamp;
  readonly withoutTimestamp?: string;
}

/**
 * Asks an authority for its time on the signature of a record and puts the token where the signature is, in the room kept
 * for it. Whatever goes wrong, the record comes back as it was signed, with one sentence for the person who issued it.
 */
export async function stampPdf(
  record: { readonly pdf: Buffer; readonly issuedAt: string },
  authority: TimestampAuthority,
): Promise<StampedRecord> {
  try {
    return await stamped(record.pdf, new Date(record.issuedAt), authority);
  } catch (error) {
    const why = error instanceof TimestampError ? error.message : 'sent an answer that cannot be read';
    return {
      pdf: record.pdf,
      withoutTimestamp: `The record has no timestamp: the authority ${authority.host} ${why}.`,
    };
  }
}

/** What came of asking, in one sentence; empty where none was asked for. */
export function timestampSentence({ timestamp, withoutTimestamp = '' }: Omit<StampedRecord, 'pdf'>): string {
  return timestamp === undefined
    ? withoutTimestamp
    : `Timestamp by ${timestamp.authority} at ${timestamp.at}, certificate ${timestamp.fingerprint}.`;
}

async function stamped(pdf: Buffer, at: Date, authority: TimestampAuthority): Promise<StampedRecord> {
  const { from, to } = signatureIn(pdf);
  const parts = partsOf(pdf, { from, to });
  const { signature } = parts;
  const nonce = randomBytes(16);
  const reply = await authority.ask(timestampRequest(createHash('sha256').update(signature).digest(), nonce));
  const { token, timestamp } = heldAgainst(tokenIn(reply), { signature, at, nonce });
  const hex = signedData({ ...parts, timestamp: token }).toString('hex');
  if (hex.length > to - from) throw new TimestampError('sent a token too large for the record');
  const whole = Buffer.from(pdf);
  whole.write(hex.padEnd(to - from, '0'), from, 'latin1');
  const seen = await verifyRecord(whole);
  if (seen.state !== 'intact') throw new TimestampError('sent a token with which the record does not verify');
  return { pdf: whole, timestamp };
}

function heldAgainst(sent: Buffer, question: Omit<TimestampQuestion, 'token'>) {
  try {
    const token = plainToken(sent);
    return { token, timestamp: checkTimestamp({ ...question, token }) };
  } catch (error) {
    if (!(error instanceof TimestampError || error instanceof DerError)) throw error;
    throw new TimestampError(`sent a timestamp that ${error.message}`);
  }
}
