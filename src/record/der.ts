import { Buffer } from 'node:buffer';

/** Bytes that are not the one DER form of what they should be. */
export class DerError extends Error {}

/** One element: its tag, its content, and all of it with tag and length. */
export interface DerElement {
  readonly tag: number;
  readonly content: Buffer;
  readonly whole: Buffer;
}

export const tags = {
  boolean: 0x01,
  integer: 0x02,
  bits: 0x03,
  octets: 0x04,
  oid: 0x06,
  utf8: 0x0c,
  utcTime: 0x17,
  generalizedTime: 0x18,
  sequence: 0x30,
  set: 0x31,
} as const;

/** An element of DER from its tag and its parts. @source ITU-T X.690 section 10 */
export function element(tag: number, ...parts: readonly Uint8Array[]): Buffer {
  const content = Buffer.concat(parts);
  return Buffer.concat([Buffer.from([tag]), lengthBytes(content.length), content]);
}

export const sequence = (...parts: readonly Uint8Array[]) => element(tags.sequence, ...parts);
export const octets = (bytes: Uint8Array) => element(tags.octets, bytes);
export const utf8 = (text: string) => element(tags.utf8, Buffer.from(text, 'utf8'));
export const bits = (bytes: Uint8Array) => element(tags.bits, Buffer.from([0]), bytes);
export const truth = () => element(tags.boolean, Buffer.from([0xff]));
/** `[n]` with a constructed content. */
export const context = (n: number, ...parts: readonly Uint8Array[]) => element(0xa0 + n, ...parts);

/** A SET OF: its members in ascending order of their encodings. @source X.690 section 11.6 */
export function setOf(tag: number, members: readonly Uint8Array[]): Buffer {
  return element(tag, ...[...members].sort(Buffer.compare));
}

/** A non-negative integer from its big-endian bytes, in the fewest that hold it. */
export function integer(bytes: Uint8Array): Buffer {
  let start = 0;
  while (start < bytes.length - 1 && bytes[start] === 0) start += 1;
  const short = bytes.subarray(start);
  return element(tags.integer, ...((short[0] ?? 0) > 0x7f ? [Buffer.from([0])] : []), short);
}

/** An object identifier from its dotted text. */
export function oid(dotted: string): Buffer {
  const [first = 0, second = 0, ...rest] = dotted.split('.').map(Number);
  return element(tags.oid, Buffer.from([first * 40 + second, ...rest.flatMap(base128)]));
}

/** A time as certificates write it: two-digit years up to 2049, four-digit ones after. @source RFC 5280 4.1.2.5 */
export function time(at: Date): Buffer {
  const digits = `${at.toISOString().slice(0, 19).replace(/[-:T]/g, '')}Z`;
  return at.getUTCFullYear() < 2050
    ? element(tags.utcTime, Buffer.from(digits.slice(2)))
    : element(tags.generalizedTime, Buffer.from(digits));
}

/** The element that begins at `at`. Throws DerError where the bytes are not DER or end too soon. */
export function readElement(bytes: Buffer, at = 0): DerElement {
  const tag = bytes[at];
  const first = bytes[at + 1];
  if (tag === undefined || first === undefined) throw new DerError('ends within an element');
  const count = first < 0x80 ? 0 : first - 0x80;
  if (first === 0x80 || count > 4) throw new DerError('has a length that DER does not allow');
  const length =
    count === 0 ? first : bytes.subarray(at + 2, at + 2 + count).reduce((sum, b) => sum * 256 + b, 0);
  const start = at + 2 + count;
  if (start + length > bytes.length) throw new DerError('ends within an element');
  if (!lengthBytes(length).equals(bytes.subarray(at + 1, start)))
    throw new DerError('has a length longer than needed');
  return { tag, content: bytes.subarray(start, start + length), whole: bytes.subarray(at, start + length) };
}

/** The elements that a constructed one is made of. */
export function members(parent: DerElement): DerElement[] {
  const found: DerElement[] = [];
  for (let at = 0; at < parent.content.length; at += found.at(-1)!.whole.length)
    found.push(readElement(parent.content, at));
  return found;
}

function lengthBytes(length: number): Buffer {
  if (length < 0x80) return Buffer.from([length]);
  const digits: number[] = [];
  for (let left = length; left > 0; left = Math.floor(left / 256)) digits.unshift(left % 256);
  return Buffer.from([0x80 + digits.length, ...digits]);
}

function base128(value: number): number[] {
  const digits = [value % 128];
  for (let left = Math.floor(value / 128); left > 0; left = Math.floor(left / 128))
    digits.unshift((left % 128) + 128);
  return digits;
}
