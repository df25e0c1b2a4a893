import type { Buffer } from 'node:buffer';
import { type PdfDict, PdfError, PdfName, PdfRef, PdfString, type PdfValue } from './pdf-value.js';
import { inflated, nameIn, type PdfFile, type RawStream, streamMark } from './read-pdf.js';

/** What this program puts into one stream of a record at most. */
const mostHeld = 64 * 1024 * 1024;

/**
 * Whether two values of two files are the same all the way down, whatever the numbers of their objects. A reference that was met before
 * must point where it did then, so rings end. Streams are compared by what they hold: how well they are packed is no difference.
 */
export function sameObjects(one: PdfFile, other: PdfFile) {
  const met = new Map<number, number>();

  function same(a: PdfValue | undefined, b: PdfValue | undefined): boolean {
    if (a instanceof PdfRef || b instanceof PdfRef)
      return a instanceof PdfRef && b instanceof PdfRef && sameRefs(a, b);
    if (a instanceof PdfName || b instanceof PdfName)
      return a instanceof PdfName && b instanceof PdfName && a.name === b.name;
    if (a instanceof PdfString || b instanceof PdfString)
      return a instanceof PdfString && b instanceof PdfString && a.bytes.equals(b.bytes);
    if (Array.isArray(a) || Array.isArray(b))
      return (
        Array.isArray(a) && Array.isArray(b) && a.length === b.length && a.every((v, k) => same(v, b[k]))
      );
    if (a instanceof Map || b instanceof Map) return a instanceof Map && b instanceof Map && sameDicts(a, b);
    return a === b;
  }

  function sameRefs(a: PdfRef, b: PdfRef): boolean {
    const before = met.get(a.id);
    if (before !== undefined) return before === b.id;
    met.set(a.id, b.id);
    return same(one.resolve(a), other.resolve(b)) && sameStreams(a, b);
  }

  function sameStreams(a: PdfRef, b: PdfRef): boolean {
    const [mine, theirs] = [one.rawStream(a), other.rawStream(b)];
    if (mine === undefined || theirs === undefined) return mine === theirs;
    if (mine.raw.equals(theirs.raw)) return true;
    return holds(mine, inflated(theirs, mostHeld));
  }

  function sameDicts(a: PdfDict, b: PdfDict): boolean {
    const left = leftOut(b);
    const keys = [...new Set([...a.keys(), ...b.keys()])].filter((key) => !left.includes(key));
    return keys.every((key) => a.has(key) && b.has(key) && same(a.get(key), b.get(key)));
  }

  return same;
}

/** No more is unpacked than there may be, so that a small stream cannot hold a huge one. */
function holds(stream: RawStream, wanted: Buffer): boolean {
  try {
    return inflated(stream, wanted.length + 1).equals(wanted);
  } catch (error) {
    if (error instanceof PdfError) return false;
    throw error;
  }
}

/** What may differ: the signature with its range, the packed length of a stream, and the way from a page back to all of them. */
function leftOut(dict: PdfDict): readonly string[] {
  const type = nameIn(dict, 'Type');
  if (type === 'Sig') return ['Contents', 'ByteRange'];
  if (type === 'Page') return ['Parent'];
  return nameIn(dict, 'Filter') === undefined ? [] : ['Length'];
}

/**
 * Whether two files are written alike to the letter, but for what is packed in their streams and the signature's own bytes. Objects may be
 * the same as this program reads them and others as another reader does: by a table of its own at the head of the file, by a number or
 * a letter that is read otherwise, by what lies between them.
 */
export function sameWriting(one: PdfFile, other: PdfFile): boolean {
  const theirs = other.written();
  for (const piece of one.written()) {
    const { value } = theirs.next();
    if (value === undefined || plain(piece) !== plain(value)) return false;
  }
  return theirs.next().done === true;
}

/** What may differ: how long a packed stream is, and the signature with its range. */
const plain = (written: string) =>
  written.endsWith(streamMark)
    ? written.replace(/\n\/Length \d+\n/, '\n')
    : written.replace(/\/ByteRange \[[^\]]*\] *\n\/Contents <[0-9a-f]*>/, '');
