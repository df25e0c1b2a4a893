import type { Buffer } from 'node:buffer';
import { inflateSync } from 'node:zlib';
import {
  type PdfDict,
  PdfError,
  PdfName,
  PdfRef,
  PdfString,
  type PdfValue,
  type ReadValue,
  readValue,
} from './pdf-value.js';

/** A PDF as records are laid out: one plain cross-reference table at its end, and nothing behind it. */
export interface PdfFile {
  readonly root: PdfDict;
  /** What the file says of itself to a reader that looks at nothing else: title, author, time. */
  readonly info: PdfValue | undefined;
  /** The value itself, or what a reference points at. */
  resolve(value: PdfValue | undefined): PdfValue | undefined;
  /** As `resolve`, where it must be a dictionary. */
  dict(value: PdfValue | undefined, what: string): PdfDict;
  /** What a reference to a stream holds, inflated, at most `most` bytes. */
  stream(value: PdfValue | undefined, most: number): Buffer;
  /** The bytes of a stream as they stand in the file, with their dictionary; undefined where the reference is to something else. */
  rawStream(ref: PdfRef): RawStream | undefined;
  /**
   * The file as it is written, its head, each object by its number, its trailer, without what its streams hold: whatever is read in none of
   * the other ways stands here.
   */
  written(): Generator<string>;
}

export interface RawStream {
  readonly dict: PdfDict;
  readonly raw: Buffer;
}

/** Reads the file strictly. Throws PdfError for anything that a record does not do, an appended update included. */
export function readPdf(bytes: Buffer): PdfFile {
  if (bytes.toString('latin1', 0, 9) !== '%PDF-1.7\n') throw new PdfError('is not a PDF of version 1.7');
  const end = /startxref\n(\d{1,10})\n%%EOF\n$/.exec(
    bytes.toString('latin1', Math.max(0, bytes.length - 60)),
  );
  if (!end) throw new PdfError('does not end as a record ends');
  const { offsets, trailer, at, behind } = readTable(bytes, Number(end[1]));
  const resolve = (value: PdfValue | undefined): PdfValue | undefined =>
    value instanceof PdfRef ? objectAt(bytes, value.id, offsets[value.id]).value : value;
  const dict = (value: PdfValue | undefined, what: string): PdfDict => {
    const found = resolve(value);
    if (!(found instanceof Map)) throw new PdfError(`lacks ${what}`);
    return found as PdfDict;
  };
  return {
    root: dict(trailer.get('Root'), 'a catalogue'),
    info: trailer.get('Info'),
    resolve,
    dict,
    stream(value, most) {
      if (!(value instanceof PdfRef)) throw new PdfError('lacks an attachment');
      const found = rawStreamAt(bytes, objectAt(bytes, value.id, offsets[value.id]));
      if (found === undefined || found.raw.length > most)
        throw new PdfError('has an attachment that cannot be read');
      return inflated(found, most);
    },
    rawStream: (ref) => rawStreamAt(bytes, objectAt(bytes, ref.id, offsets[ref.id])),
    *written() {
      const inOrder = [...offsets.slice(1), at].sort((a, b) => a - b);
      yield bytes.toString('latin1', 0, inOrder[0]);
      const next = new Map(inOrder.map((from, k) => [from, inOrder[k + 1]]));
      for (const [k, from] of offsets.slice(1).entries()) {
        const read = objectAt(bytes, k + 1, from);
        const held = rawStreamAt(bytes, read);
        const cut = held === undefined ? read.end : read.end + streamMark.length;
        yield bytes.toString('latin1', from, cut);
        yield bytes.toString('latin1', cut + (held?.raw.length ?? 0), next.get(from));
      }
      yield bytes.toString('latin1', behind, bytes.lastIndexOf('startxref'));
    },
  };
}

/** A dictionary's name, text or number under a key; undefined where it is something else. */
export const nameIn = (dict: PdfDict, key: string) => {
  const value = dict.get(key);
  return value instanceof PdfName ? value.name : undefined;
};
export const textIn = (dict: PdfDict, key: string) => {
  const value = dict.get(key);
  return value instanceof PdfString ? value : undefined;
};

interface Table {
  /** Where each object begins, by its number; the first has none. */
  readonly offsets: readonly number[];
  readonly trailer: PdfDict;
  /** Where the table begins, and where its trailer does. */
  readonly at: number;
  readonly behind: number;
}

function readTable(bytes: Buffer, at: number): Table {
  const head = /^xref\n0 (\d{1,7})\n/.exec(bytes.toString('latin1', at, at + 40));
  const count = Number(head?.[1]);
  const start = at + (head?.[0].length ?? 0);
  const behind = start + count * 20;
  if (!head || bytes.toString('latin1', behind, behind + 8) !== 'trailer\n')
    throw new PdfError('has no cross-reference table where it says');
  const offsets = Array.from({ length: count }, (_, k) => {
    const line = bytes.toString('latin1', start + k * 20, start + k * 20 + 20);
    // To another reader an object that is marked as free is none, wherever it lies.
    if (!(k === 0 ? /^0{10} 65535 f \n$/ : /^\d{10} 00000 n \n$/).test(line))
      throw new PdfError('has a broken cross-reference table');
    return Number(line.slice(0, 10));
  });
  const { value, end } = readValue(bytes, behind + 8);
  if (!(value instanceof Map) || value.has('Prev') || value.has('Encrypt') || value.has('XRefStm'))
    throw new PdfError('has a trailer that no record has');
  if (bytes.toString('latin1', end) !== `\nstartxref\n${at}\n%%EOF\n`)
    throw new PdfError('has something behind its trailer');
  return { offsets, trailer: value as PdfDict, at, behind };
}

function objectAt(bytes: Buffer, id: number, offset: number | undefined): ReadValue {
  const head = `${id} 0 obj\n`;
  if (!offset || bytes.toString('latin1', offset, offset + head.length) !== head)
    throw new PdfError(`has no object ${id} where it says`);
  return readValue(bytes, offset + head.length);
}

/** What stands between a stream's dictionary and what it holds. */
export const streamMark = '\nstream\n';

function rawStreamAt(bytes: Buffer, { value, end }: ReadValue): RawStream | undefined {
  const start = end + streamMark.length;
  if (!(value instanceof Map) || bytes.toString('latin1', end, start) !== streamMark) return undefined;
  const length = value.get('Length');
  if (typeof length !== 'number' || start + length > bytes.length) return undefined;
  return { dict: value as PdfDict, raw: bytes.subarray(start, start + length) };
}

/** What a stream holds, at most `most` bytes; one without a filter, or with a picture's own, is what stands in the file. */
export function inflated({ dict, raw }: RawStream, most: number): Buffer {
  if (nameIn(dict, 'Filter') !== 'FlateDecode') return raw;
  try {
    return inflateSync(raw, { maxOutputLength: most });
  } catch {
    throw new PdfError('has an attachment that cannot be read');
  }
}
