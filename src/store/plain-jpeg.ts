/** Markers that a plain baseline JPEG is made of, beside its first and last. @source ITU-T T.81, table B.1 */
const allowed = new Set([0xc0, 0xc4, 0xda, 0xdb, 0xdd]);
const app0 = 0xe0;

/**
 * Whether a JPEG is nothing but its picture: baseline, a plain JFIF head at most, no other segment (place, device, words,
 * colour profile, second picture) and nothing behind its end.
 */
export function isPlainJpeg(bytes: Buffer): boolean {
  if (bytes.length < 4 || bytes.readUInt16BE(0) !== 0xffd8) return false;
  let at = 2;
  while (at + 4 <= bytes.length) {
    const marker = bytes[at + 1] as number;
    const length = bytes.readUInt16BE(at + 2);
    const head = bytes.subarray(at + 4, at + 9).toString('latin1');
    const isHead = marker === app0 && at === 2 && length === 16 && head === 'JFIF\0';
    if (bytes[at] !== 0xff || length < 2 || !(isHead || allowed.has(marker))) return false;
    at += 2 + length;
    if (marker === 0xda) at = endOfScan(bytes, at);
    if (bytes[at] === 0xff && bytes[at + 1] === 0xd9) return at + 2 === bytes.length;
  }
  return false;
}

/** Where the next marker stands: 0xff is followed by 0 or a restart within a scan. */
function endOfScan(bytes: Buffer, from: number): number {
  let at = from;
  for (;;) {
    at = bytes.indexOf(0xff, at);
    if (at < 0) return bytes.length;
    const next = bytes[at + 1] as number;
    if (next !== 0 && !(next >= 0xd0 && next <= 0xd7)) return at;
    at += 2;
  }
}

/**
 * How often a JPEG goes over its picture. Each time is gone through wholly, and of a few bytes: half a megabyte of them keeps a reader
 * busy for half a minute. What stands behind the end of the picture counts for nothing. @source ITU-T T.81, annex B.2
 */
export function scansOf(bytes: Buffer): number {
  let scans = 0;
  let at = endOfScan(bytes, 2);
  while (at + 4 <= bytes.length && bytes[at + 1] !== 0xd9) {
    // Another 0xff is no marker yet, but room before it.
    const fill = bytes[at + 1] === 0xff;
    if (bytes[at + 1] === 0xda) scans += 1;
    at = endOfScan(bytes, fill ? at + 1 : at + 2 + bytes.readUInt16BE(at + 2));
  }
  return scans;
}
