import { Buffer } from 'node:buffer';
import { crc32, deflateRawSync } from 'node:zlib';
import { type UnzipFileInfo, unzipSync, Zip, type ZipInputFile } from 'fflate';
import { jsonOf } from '../../circuit/json-text.js';
import { AppError } from '../../errors.js';
import { type JobFile, jobFileOf, jobTextOf, refuseLongLogbook } from './job-file.js';

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

/** What a zip is made of: the job file without its photos and records, and these one by one, each under its digest. */
export interface Zippable {
  readonly job: object;
  readonly photos: Blobs;
  readonly records: Blobs;
}
type Blobs = Iterable<readonly [digest: string, bytes: Uint8Array]>;

/**
 * A job file as one zip: `job.json`, each photo as `photos/DIGEST.jpg`, each record as `records/DIGEST.pdf`. It comes piece by piece, and
 * each photo is asked for when its turn has come, so that no more than one is held. The same job file gives the same bytes.
 */
export function* zipJob({ job, photos, records }: Zippable): Generator<Uint8Array, void> {
  let made: Uint8Array[] = [];
  const zip = new Zip((error, piece) => {
    if (error !== null) throw error;
    made.push(piece);
  });
  // Node's own checksum takes a tenth of the time of one in JavaScript, and whoever else asks waits for each photo's.
  const put = (filename: string, bytes: Uint8Array, how: { packed: boolean }) => {
    const file: ZipInputFile = {
      filename,
      size: bytes.length,
      crc: crc32(bytes),
      compression: how.packed ? 8 : 0,
      // A fixed day keeps the bytes the same.
      mtime: firstDay,
    };
    zip.add(file);
    file.ondata?.(null, how.packed ? deflateRawSync(bytes) : (bytes as Uint8Array<ArrayBuffer>), true);
  };
  function* taken() {
    yield* made;
    made = [];
  }
  put('job.json', Buffer.from(`${JSON.stringify(job, undefined, 1)}\n`), { packed: true });
  yield* taken();
  // Pictures and signed files do not get smaller.
  for (const [what, all] of [['photo', photos] as const, ['record', records] as const])
    for (const [digest, bytes] of all) {
      put(besidePath(what, digest), bytes, { packed: false });
      yield* taken();
    }
  zip.end();
  yield* taken();
}

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
  const text = jobTextOf(job);
  let rest: unknown;
  try {
    rest = jsonOf(text);
  } catch {
    throw new AppError('bad-file', 'holds a job.json that is not JSON');
  }
  if (typeof rest !== 'object' || rest === null)
    throw new AppError('bad-file', 'holds a job.json that is no job');
  return jobFileOf({ ...rest, photos: ofFolder('photos'), records: ofFolder('records') });
}

function unzipped(bytes: Uint8Array): Record<string, Uint8Array> {
  const names = new Set<string>();
  let total = 0;
  const filter = ({ name, size, originalSize }: UnzipFileInfo): boolean => {
    // Whoever looked inside and packed it again may have packed the folders too.
    if (name === 'photos/' || name === 'records/') return false;
    if (!named.test(name)) throw new AppError('bad-file', `holds ${name.slice(0, 80)}, which no job has`);
    if (names.has(name)) throw new AppError('bad-file', `holds ${name} twice`);
    names.add(name);
    // What is not packed comes out as long as it lies there, whatever it says; and many names may lead to one place.
    total += Math.max(size, originalSize);
    if (names.size > mostFiles || total > mostBytes)
      throw new AppError('bad-file', 'holds more than a job may');
    if (name === 'job.json') refuseLongLogbook(Math.max(size, originalSize));
    return true;
  };
  try {
    return unzipSync(bytes, { filter });
  } catch (error) {
    if (error instanceof AppError) throw error;
    throw new AppError('bad-file', 'is a zip that cannot be read');
  }
}
