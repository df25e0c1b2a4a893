import { Buffer } from 'node:buffer';
import { strToU8, unzipSync, zipSync } from 'fflate';
import { describe, expect, test } from 'vitest';
import { readJobFile } from '../../../src/store/carry/job-file.js';
import { isZip, unzipJob, zipJob } from '../../../src/store/carry/job-zip.js';
import { demoJobText } from '../demo-job-file.js';

const { photos, records, ...job } = JSON.parse(demoJobText) as Record<
  'photos' | 'records',
  Record<string, string>
>;
const decoded = (all: Readonly<Record<string, string>>) =>
  Object.entries(all).map(([digest, text]) => [digest, Buffer.from(text, 'base64')] as const);
const zipOfDemo = () =>
  Buffer.concat([...zipJob({ job, photos: decoded(photos), records: decoded(records) })]);
const zipped = zipOfDemo();

describe('a zipped job', () => {
  test('unpacks to the same job file, photos and all', () => {
    expect(unzipJob(zipped)).toEqual(readJobFile(demoJobText));
    expect(Object.keys(unzipJob(zipped).photos).length).toBeGreaterThan(20);
  });

  test('is read after somebody looked inside and packed it again, folders and a mark of the editor with it', () => {
    const files: Record<string, Uint8Array> = { 'photos/': new Uint8Array(), 'records/': new Uint8Array() };
    for (const [name, data] of Object.entries(unzipSync(zipped)))
      files[name] = name === 'job.json' ? Buffer.concat([Buffer.from('\ufeff'), data]) : data;
    expect(unzipJob(zipSync(files))).toEqual(unzipJob(zipped));
  });

  test('is told from JSON by its first letters, and is the same bytes for the same job', () => {
    expect(isZip(zipped)).toBe(true);
    expect(isZip(strToU8(demoJobText))).toBe(false);
    expect(zipOfDemo().equals(zipped)).toBe(true);
  });

  test('comes piece by piece, and a photo is asked for only when the one before it is out', () => {
    const asked: string[] = [];
    function* oneByOne() {
      for (const photo of decoded(photos).slice(0, 3)) {
        asked.push(photo[0]);
        yield photo;
      }
    }
    const pieces = zipJob({ job, photos: oneByOne(), records: [] });
    let out = Buffer.alloc(0);
    for (const [k, [digest, jpeg]] of decoded(photos).slice(0, 3).entries()) {
      while (!out.includes(jpeg)) out = Buffer.concat([out, pieces.next().value as Uint8Array]);
      expect([k, asked.at(-1), asked.length]).toEqual([k, digest, k + 1]);
    }
    expect(Object.keys(unzipJob(Buffer.concat([out, ...pieces])).photos)).toEqual(asked);
  });

  test.each<[string, () => Uint8Array, RegExp]>([
    ['is cut off', () => zipped.slice(0, zipped.length / 2), /cannot be read/],
    ['is no zip behind its first letters', () => strToU8('PK and nothing'), /cannot be read/],
    ['holds no job', () => zipSync({}), /no job\.json/],
    [
      'holds a logbook that would take gigabytes to read',
      () => zipSync({ 'job.json': new Uint8Array(129 * 1024 * 1024).fill(0x20) }, { level: 1 }),
      /holds a logbook of 129 MB, and a job’s takes at most 128 MB/,
    ],
    [
      'holds a path out of its folder',
      () => zipSync({ 'job.json': strToU8('{}'), '../evil.jpg': strToU8('x') }),
      /\.\.\/evil\.jpg, which no job has/,
    ],
    [
      'holds a picture by another name',
      () => zipSync({ 'job.json': strToU8('{}'), 'photos/me.jpg': strToU8('x') }),
      /which no job has/,
    ],
    ['holds a job that is not JSON', () => zipSync({ 'job.json': strToU8('{') }), /not JSON/],
    ['holds a job that is a number', () => zipSync({ 'job.json': strToU8('7') }), /no job/],
    [
      'holds more files than a job has',
      () =>
        zipSync(
          Object.fromEntries(
            Array.from({ length: 5_001 }, (_, k) => [
              `photos/${k.toString(16).padStart(64, '0')}.jpg`,
              new Uint8Array(),
            ]),
          ),
        ),
      /more than a job may/,
    ],
    ['leads from many names to one large file', () => manyNames(200_000), /more than a job may/],
    [
      'leads from one name to two files',
      () => manyNames(1, () => 'a'.repeat(64)),
      /holds photos\/a+\.jpg twice/,
    ],
    ['says that it unpacks to gigabytes', () => sayingSize(zipped, 0xf000_0000), /more than a job may/],
  ])('that %s is refused in words', (_what, bytes, message) => {
    expect(() => unzipJob(bytes())).toThrow(message);
  });

  test('with one bit changed anywhere is refused or unpacks to the same job, never to another', () => {
    const before = JSON.stringify(readJobFile(demoJobText));
    for (let at = 40; at < zipped.length; at += Math.ceil(zipped.length / 60)) {
      const changed = Uint8Array.from(zipped);
      changed[at] = changed[at]! ^ 0x04;
      expect(readOrRefused(changed, before)).toBe(true);
    }
  });
});

/** A photo's bytes are held to its digest where the job is written, so here only the logbook must be the same. */
function readOrRefused(bytes: Uint8Array, before: string): boolean {
  try {
    const { entries } = unzipJob(bytes);
    return JSON.stringify(entries) === JSON.stringify(JSON.parse(before).entries);
  } catch (error) {
    return (error as { code?: string }).code === 'bad-file';
  }
}

/** A zip of one file that is not packed, named 3,000 times in the directory at its end, each time as if it were empty. */
function manyNames(size: number, digestOf = (k: number) => String(k).padStart(64, '0')): Uint8Array {
  const zip = Buffer.from(zipSync({ [`photos/${'0'.repeat(64)}.jpg`]: [Buffer.alloc(size), { level: 0 }] }));
  const at = zip.indexOf(Buffer.from([0x50, 0x4b, 1, 2]));
  const end = zip.indexOf(Buffer.from([0x50, 0x4b, 5, 6]));
  const entries = Array.from({ length: 3000 }, (_, k) => {
    const entry = Buffer.from(zip.subarray(at, end));
    entry.writeUInt32LE(0, 24);
    entry.write(`photos/${digestOf(k)}.jpg`, 46);
    return entry;
  });
  const last = Buffer.from(zip.subarray(end));
  last.writeUInt16LE(entries.length, 8);
  last.writeUInt16LE(entries.length, 10);
  last.writeUInt32LE(entries.length * (end - at), 12);
  return Buffer.concat([zip.subarray(0, at), ...entries, last]);
}

/** The same zip with another unpacked size said of its first file in the directory at its end. */
function sayingSize(bytes: Uint8Array, size: number): Uint8Array {
  const lying = Buffer.from(bytes);
  lying.writeUInt32LE(size, lying.indexOf(Buffer.from([0x50, 0x4b, 1, 2])) + 24);
  return lying;
}
