import { AppError } from '../../errors.js';
import type { Entry } from '../../logbook/entry.js';
import type { Store } from '../open-store.js';
import type { FileEntry, JobFile } from './job-file.js';

/**
 * How many of a file's entries stand in the store already, seal for seal, where the file goes on from there: a job that was carried on in
 * another folder comes back. 0 where there is no such job here, the file carries none of its seals, or nothing new. Throws AppError
 * `bad-file` where the job was carried on here too: a logbook has one order, and neither end can be sealed behind the other.
 */
export function heldOf({ jobs, logbook }: Store, file: JobFile): number {
  if (file.job === undefined || !jobs.has(file.job)) return 0;
  const mine = logbook.entries(file.job);
  const theirs = file.entries as FileEntry[];
  const parted = mine.findIndex((entry, k) => entry.digest !== theirs[k]?.digest);
  if (parted === 0) return 0;
  if (parted < 0) return theirs.length > mine.length ? mine.length : 0;
  if (theirs.length <= parted) return 0;
  throw new AppError(
    'bad-file',
    `job ${file.job} was carried on in two places: after entry ${parted}, which both have, here stand ${told(mine.slice(parted))}, and in the file ${told(theirs.slice(parted))}. A logbook has one order, so nothing of the file was written, and nothing here was changed. To read the file, bring it into a folder of its own, with --data OTHER-FOLDER. Then write in one of the two what still holds of the other`,
  );
}

function told(entries: readonly (Entry | FileEntry)[]): string {
  const [first, last] = [entries[0], entries.at(-1)] as [Entry, Entry];
  const ends = first === last ? [first] : [first, last];
  return `${entries.length} more (${ends.map((e) => `${e.kind}, ${e.subject}, by ${e.by.name}, ${e.at}`).join(' … ')})`;
}
