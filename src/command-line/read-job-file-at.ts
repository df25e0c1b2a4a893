import { Buffer } from 'node:buffer';
import { dirname, join } from 'node:path';
import { type FileIo, UsageError } from '../command.js';
import { AppError } from '../errors.js';
import type { Entry } from '../logbook/entry.js';
import { foldJob } from '../logbook/job-log.js';
import { assess } from '../steps/assess.js';
import type { Assessment } from '../steps/assessment.js';
import { type FileEntry, type JobFile, jobTextOf, readJobFile } from '../store/carry/job-file.js';
import { besidePath, isZip, unzipJob } from '../store/carry/job-zip.js';
import { replayInMemory } from '../store/carry/replay-job.js';

/**
 * A job file as read; what is wrong with it is one line that names it. A photo or record that a JSON names and does not hold is taken
 * from the folder that the JSON lies in, where one is there; whether it is the right one is looked at as if it had come inside.
 */
export async function readJobFileAt(command: string, path: string, io: FileIo): Promise<JobFile> {
  const bytes = await io.readBytes(path).catch(() => {
    throw new UsageError(`${command}: ${path}: cannot be read`);
  });
  try {
    if (isZip(bytes)) return unzipJob(bytes);
    return await withFilesBeside(readJobFile(jobTextOf(bytes)), dirname(path), io);
  } catch (error) {
    if (error instanceof AppError) throw new UsageError(`${command}: ${path}: ${error.message}`);
    throw error;
  }
}

/** What is not there stays unsaid here: whoever needs it says so. */
async function withFilesBeside(file: JobFile, folder: string, io: FileIo): Promise<JobFile> {
  const photos = { ...file.photos };
  const records = { ...file.records };
  const take = async (held: Record<string, string>, what: 'photo' | 'record', digest: string) => {
    if (Object.hasOwn(held, digest)) return;
    const bytes = await io.readBytes(join(folder, besidePath(what, digest))).catch(() => undefined);
    if (bytes !== undefined) held[digest] = Buffer.from(bytes).toString('base64');
  };
  for (const entry of file.entries as FileEntry[])
    if (entry.kind === 'photo added') await take(photos, 'photo', entry.body.photo);
    else if (entry.kind === 'record issued') await take(records, 'record', entry.body.sha256);
  return { ...file, photos, records };
}

/**
 * The job of a file without a store: every entry sent through the gate, and assessed. Its entries as they stand in the file went through
 * none. Throws UsageError where one is refused, or where there is no circuit.
 */
export function replayedJob(
  command: string,
  path: string,
  file: JobFile,
): { number: string; entries: Entry[]; job: Assessment } {
  try {
    const number = file.job ?? file.entries[0]?.job ?? 'unnumbered';
    const entries = replayInMemory(file, number);
    const job = assess(foldJob(entries));
    if (job === undefined) throw new AppError('bad-file', 'holds no circuit');
    return { number, entries, job };
  } catch (error) {
    if (error instanceof AppError) throw new UsageError(`${command}: ${path}: ${error.message}`);
    throw error;
  }
}
