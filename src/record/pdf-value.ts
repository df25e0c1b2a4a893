import { Buffer } from 'node:buffer';

/** Bytes that are not laid out as a record lays out its PDF. */
export class PdfError extends Error {}

export class PdfName {
  constructor(readonly name: string) {}
}
export class PdfRef {
  constructor(readonly id: number) {}
}
/** A string with its bytes and the span that it takes in the file, delimiters included. */
export class PdfString {
  constructor(
    readonly bytes: Buffer,
    readonly from: number,
    readonly to: number,
  ) {}
}
export type PdfDict = ReadonlyMap<string, PdfValue>;
export type PdfValue = number | boolean | null | PdfName | PdfRef | PdfString | readonly PdfValue[] | PdfDict;

/** A value and the offset behind it. */
export interface ReadValue {
  readonly value: PdfValue;
  readonly end: number;
}

const deepest = 32;
const escapes: Record<string, string> = { n: '\n', r: '\r', t: '\t', b: '\b', f: '\f' };

/** The value that begins at `at`, white space before it skipped. Throws PdfError. @source ISO 32000-1 7.2, 7.3 */
export function readValue(bytes: Buffer, at: number, depth = 0): ReadValue {
  if (depth > deepest) throw new PdfError('is nested too deeply');
  const start = skipSpace(bytes, at);
  const two = bytes.toString('latin1', start, start + 2);
  if (two === '<<') return readDict(bytes, start + 2, depth);
  if (two.startsWith('[')) return readArray(bytes, start + 1, depth);
  if (two.startsWith('(')) return readText(bytes, start);
  if (two.startsWith('<')) return readHex(bytes, start);
  if (two.startsWith('/')) return readName(bytes, start);
  return readWord(bytes, start);
}

function skipSpace(bytes: Buffer, at: number): number {
  let next = at;
  while (isSpace(bytes[next])) next += 1;
  return next;
}

function readDict(bytes: Buffer, at: number, depth: number): ReadValue {
  const dict = new Map<string, PdfValue>();
  let next = skipSpace(bytes, at);
  while (bytes.toString('latin1', next, next + 2) !== '>>') {
    const key = readName(bytes, next);
    const { value, end } = readValue(bytes, key.end, depth + 1);
    if (dict.has(key.value.name)) throw new PdfError(`says ${key.value.name} twice`);
    dict.set(key.value.name, value);
    next = skipSpace(bytes, end);
  }
  return { value: dict, end: next + 2 };
}

function readArray(bytes: Buffer, at: number, depth: number): ReadValue {
  const list: PdfValue[] = [];
  let next = skipSpace(bytes, at);
  while (bytes[next] !== 0x5d) {
    const { value, end } = readValue(bytes, next, depth + 1);
    list.push(value);
    next = skipSpace(bytes, end);
  }
  return { value: list, end: next + 1 };
}

function readName(bytes: Buffer, at: number): { value: PdfName; end: number } {
  if (bytes[at] !== 0x2f) throw new PdfError('lacks a name where one should be');
  let end = at + 1;
  while (end < bytes.length && isRegular(bytes[end])) end += 1;
  const raw = bytes.toString('latin1', at + 1, end);
  const name = raw.replace(/#([0-9A-Fa-f]{2})/g, (_, hex: string) =>
    String.fromCharCode(Number.parseInt(hex, 16)),
  );
  return { value: new PdfName(name), end };
}

function readText(bytes: Buffer, at: number): ReadValue {
  const out: number[] = [];
  let next = at + 1;
  for (let open = 1; ; next += 1) {
    const byte = bytes[next];
    if (byte === undefined) throw new PdfError('ends within a text');
    if (byte === 0x28) open += 1;
    if (byte === 0x29) open -= 1;
    if (open === 0) break;
    if (byte === 0x5c) {
      next += 1;
      const letter = String.fromCharCode(bytes[next] ?? 0);
      out.push((escapes[letter] ?? letter).charCodeAt(0));
    } else out.push(byte);
  }
  return { value: new PdfString(Buffer.from(out), at, next + 1), end: next + 1 };
}

function readHex(bytes: Buffer, at: number): ReadValue {
  const close = bytes.indexOf(0x3e, at);
  if (close < 0) throw new PdfError('ends within a text');
  const hex = bytes.toString('latin1', at + 1, close);
  if (!/^(?:[0-9a-f]{2})*$/.test(hex))
    throw new PdfError('has a text that is not written in small hexadecimal digits');
  return { value: new PdfString(Buffer.from(hex, 'hex'), at, close + 1), end: close + 1 };
}

function readWord(bytes: Buffer, at: number): ReadValue {
  const window = bytes.toString('latin1', at, at + 40);
  const ref = /^(\d{1,10}) 0 R(?![A-Za-z])/.exec(window);
  if (ref) return { value: new PdfRef(Number(ref[1])), end: at + ref[0].length };
  const word = /^[^\s()<>[\]{}/%]+/.exec(window)?.[0] ?? '';
  const end = at + word.length;
  if (word === 'true' || word === 'false') return { value: word === 'true', end };
  if (word === 'null') return { value: null, end };
  if (/^[+-]?(\d+\.?\d*|\.\d+)(e-?\d+)?$/.test(word)) return { value: Number(word), end };
  throw new PdfError('has something where a value should be');
}

function isSpace(byte: number | undefined): boolean {
  return byte === 0x20 || byte === 0x0a || byte === 0x0d || byte === 0x09 || byte === 0x0c || byte === 0;
}

function isRegular(byte: number | undefined): boolean {
  return byte !== undefined && !isSpace(byte) && !'()<>[]{}/%'.includes(String.fromCharCode(byte));
}
