import type { Buffer } from 'node:buffer';
import { DerError, integer, members, oid, readElement, tags } from './der.js';

/** What an authority signs: the digest it was sent, its time, and the nonce of the question (as an INTEGER) where there was one. */
interface TimestampInfo {
  readonly imprint: Buffer;
  readonly at: Date;
  readonly nonce: Buffer | undefined;
}

const sha256 = oid('2.16.840.1.101.3.4.2.1');

/** Reads a TSTInfo over a SHA-256. Throws DerError else. @source RFC 3161 section 2.4.2 */
export function readTimestampInfo(der: Buffer): TimestampInfo {
  const outer = readElement(der);
  const [version, policy, imprint, serial, time, ...rest] = members(outer);
  if (!version || !policy || !imprint || !serial || !time || outer.whole.length !== der.length)
    throw new DerError('lacks a part');
  if (!version.whole.equals(integer(Uint8Array.of(1)))) throw new DerError('is of another version');
  const [algorithm, digest, ...more] = members(imprint);
  if (!algorithm || !digest || more.length > 0 || !members(algorithm)[0]?.whole.equals(sha256))
    throw new DerError('is not over a SHA-256');
  if (time.tag !== tags.generalizedTime) throw new DerError('has no time');
  return {
    imprint: digest.content,
    at: instant(time.content.toString('latin1')),
    nonce: rest.find(({ tag }) => tag === tags.integer)?.whole,
  };
}

function instant(text: string): Date {
  const found = /^(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)(\.\d{1,9})?Z$/.exec(text);
  if (!found) throw new DerError('has a time that cannot be read');
  const [, year, month, day, hour, minute, second, fraction = '.0'] = found;
  const milliseconds = fraction.slice(1).padEnd(3, '0').slice(0, 3);
  const at = new Date(`${year}-${month}-${day}T${hour}:${minute}:${second}.${milliseconds}Z`);
  if (Number.isNaN(at.getTime())) throw new DerError('has a time that cannot be read');
  return at;
}
