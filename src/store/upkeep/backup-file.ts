import { createHash } from 'node:crypto';
import {
  closeSync,
  existsSync,
  fsyncSync,
  linkSync,
  openSync,
  readSync,
  renameSync,
  statSync,
  writeSync,
} from 'node:fs';
import { dirname } from 'node:path';
import { z } from 'zod';
import { jsonIn } from '../../circuit/json-text.js';
import { AppError } from '../../errors.js';
import { syncFolder } from '../sync-folder.js';

const count = z.number().int().min(0);
const hex = z.string().regex(/^[0-9a-f]{64}$/);

/** The first line of a backup: what is in it and how to know that it is whole. */
export const manifestSchema = z.strictObject({
  format: z.literal('inlet-backup/1'),
  made: z.iso.datetime(),
  program: z.string().max(40),
  /** The newest migration of the database. */
  schema: count,
  counts: z.strictObject({ jobs: count, entries: count, photos: count, records: count, people: count }),
  /** The number of entries in all chains, and the one head over them. */
  head: z.strictObject({ n: count, head: hex }),
  database: z.strictObject({ bytes: count, sha256: hex }),
});
export type Manifest = z.output<typeof manifestSchema>;

const longestLine = 8192;
const piece = 1 << 20;

/** SHA-256 and length of a file, read piece by piece. */
export function digestOfFile(file: string): Manifest['database'] {
  const hash = createHash('sha256');
  const handle = openSync(file, 'r');
  try {
    let bytes = 0;
    for (const part of pieces(handle, 0)) {
      hash.update(part);
      bytes += part.length;
    }
    return { bytes, sha256: hash.digest('hex') };
  } finally {
    closeSync(handle);
  }
}

/**
 * Writes a backup: its manifest as one line of JSON, and behind it the database as it is. It is written as `part`, in a
 * folder on the same disk, and appears under its name only once it is whole and on the disk. What has that name
 * already is never written over: throws an Error with the code EEXIST.
 */
export function writeBackupFile(file: string, manifest: Manifest, database: string, part: string): void {
  const to = openSync(part, 'wx', 0o600);
  try {
    writeWhole(to, Buffer.from(`${JSON.stringify(manifest)}\n`));
    const from = openSync(database, 'r');
    try {
      for (const bytes of pieces(from, 0)) writeWhole(to, bytes);
    } finally {
      closeSync(from);
    }
    fsyncSync(to);
  } finally {
    closeSync(to);
  }
  if (!linked(part, file)) renameSync(part, file);
  syncFolder(dirname(file));
}

/** Gives the whole file its name where nothing has it yet; false where the disk knows no second names. Throws EEXIST. */
function linked(part: string, file: string): boolean {
  try {
    linkSync(part, file);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST' || existsSync(file)) throw error;
    return false;
  }
}

/** Reads a backup's manifest. Throws AppError `bad-file` where the file is none, or is not as long as it says. */
function readManifest(file: string): { manifest: Manifest; from: number } {
  const handle = openSync(file, 'r');
  try {
    const head = Buffer.alloc(longestLine);
    const end = head.subarray(0, readSync(handle, head, 0, longestLine, 0)).indexOf(0x0a);
    const read = end < 0 ? undefined : manifestSchema.safeParse(jsonIn(head.toString('utf8', 0, end)));
    if (!read?.success) throw new AppError('bad-file', `${file} is no backup of this program.`);
    const from = end + 1;
    const { bytes } = read.data.database;
    if (statSync(file).size !== from + bytes)
      throw new AppError(
        'bad-file',
        `${file} is not whole: ${bytes} bytes of data should follow its first line.`,
      );
    return { manifest: read.data, from };
  } finally {
    closeSync(handle);
  }
}

/** Takes the database out of a backup into a file of its own. Throws AppError `bad-file` where one byte is another. */
export function unpackDatabase(file: string, to: string): Manifest {
  const { manifest, from } = readManifest(file);
  const source = openSync(file, 'r');
  const target = openSync(to, 'wx', 0o600);
  const hash = createHash('sha256');
  try {
    for (const bytes of pieces(source, from)) {
      hash.update(bytes);
      writeWhole(target, bytes);
    }
    fsyncSync(target);
  } finally {
    closeSync(source);
    closeSync(target);
  }
  if (hash.digest('hex') !== manifest.database.sha256)
    throw new AppError(
      'bad-file',
      `${file} is damaged: its data are not those that its first line speaks of.`,
    );
  return manifest;
}

function* pieces(handle: number, from: number): Generator<Buffer> {
  for (let at = from; ; ) {
    const part = Buffer.allocUnsafe(piece);
    const length = readSync(handle, part, 0, piece, at);
    if (length === 0) return;
    yield part.subarray(0, length);
    at += length;
  }
}

function writeWhole(handle: number, bytes: Buffer): void {
  for (let at = 0; at < bytes.length; ) at += writeSync(handle, bytes, at);
}
