import { Buffer } from 'node:buffer';
import { strFromU8, strToU8, type UnzipFileInfo, unzipSync, zipSync } from 'fflate';
import { AppError } from '../../errors.js';
import { type JobFile, jobFileOf } from './job-file.js';

/** A zip begins with these two letters, which no JSON does. */
export const isZip = (bytes: Uint8Array): boolean => bytes[0] === 0x50 && bytes[1] === 0x4b;

/** What may be in a zip: the logbook, and photos and records under the digest that the logbook names them by. */
const named = /^(?:job\.json|photos\/[0-9a-f]{64}\.jpg|records\/[0-9a-f]{64}\.pdf)$/;
/** Where a photo or record lies, in a zip or beside a job.json; its digest is 64 letters of hex. */
export const besidePath = (what: 'photo' | 'record', digest: string): string =>
  what === 'photo' ? `photos/${digest}.jpg` : `records/${digest}.pdf`;
/** The first day that a zip can name, where it is read. */
const firstDay = new Date(1980, 0, 1);
const mostFiles = 5_000;
const mostBytes = 512 * 1024 * 1024;

/**
 * A job file as one zip: `job.json`, each photo as `photos/DIGEST.jpg`, each record as `records/DIGEST.pdf`. The same job file gives
 * the same bytes.
 */
export function zipJob({ photos, records, ...rest }: Zippable): Uint8Array {
  // Pictures and signed files do not get smaller, and a fixed day keeps the bytes the same.
  const stored = { level: 0, mtime: firstDay } as const;
  const blobs = (what: 'photo' | 'record', all: Blobs) =>
    Object.entries(all).map(([digest, data]) => [
      besidePath(what, digest),
      [Buffer.from(data, 'base64'), stored] as const,
    ]);
  return zipSync(
    Object.fromEntries([
      ['job.json', [strToU8(`${JSON.stringify(rest, undefined, 1)}\n`), { mtime: firstDay }]],
      ...blobs('photo', photos),
      ...blobs('record', records),
    ]),
  );
}
/** A job file as it is exported, its photos and records in base64 by their digest. */
export interface Zippable {
  readonly photos: Blobs;
  readonly records: Blobs;
}
type Blobs = Readonly<Record<string, string>>;

/**
 * Reads the job file in a zip. Throws, beside what `jobFileOf` throws, AppError `bad-file` for a zip that cannot be read, lacks job.json, holds
 * anything else, or would unpack to more than 512 MB or 5,000 files.
 */
export function unzipJob(bytes: Uint8Array): JobFile {
  const { 'job.json': job, ...blobs } = unzipped(bytes);
  if (job === undefined) throw new AppError('bad-file', 'holds no job.json');
  const ofFolder = (folder: string) =>
    Object.fromEntries(
      Object.entries(blobs)
        .filter(([name]) => name.startsWith(`${folder}/`))
        .map(([name, data]) => [name.slice(folder.length + 1, -4), Buffer.from(data).toString('base64')]),
    );
  let rest: unknown;
  try {
    rest = JSON.parse(strFromU8(job));
  } catch {
    throw new AppError('bad-file', 'holds a job.json that is not JSON');
  }
  if (typeof rest !== 'object' || rest === null)
    throw new AppError('bad-file', 'holds a job.json that is no job');
  return jobFileOf({ ...rest, photos: ofFolder('photos'), records: ofFolder('records') });
}

function unzipped(bytes: Uint8Array): Record<string, Uint8Array> {
  let files = 0;
  let size = 0;
  const filter = ({ name, originalSize }: UnzipFileInfo): boolean => {
    if (!named.test(name)) throw new AppError('bad-file', `holds ${name.slice(0, 80)}, which no job has`);
    files += 1;
    size += originalSize;
    if (files > mostFiles || size > mostBytes) throw new AppError('bad-file', 'holds more than a job may');
    return true;
  };
  try {
    return unzipSync(bytes, { filter });
  } catch (error) {
    if (error instanceof AppError) throw error;
    throw new AppError('bad-file', 'is a zip that cannot be read');
  }
}
