import type { Io } from '../command.js';
import { readConfig } from '../config.js';
import { makeBackup, notInside } from '../store/upkeep/backup.js';
import type { Manifest } from '../store/upkeep/backup-file.js';
import { readArguments, storeOptions } from './options.js';

const help = [
  'Usage: inlet-logbook backup FILE [--data DIR]',
  '',
  'Copies the whole shop into one file, while people work. The copy is looked through before the file gets its name;',
  'a file that is there already is never written over. By schedule: serve --backup-dir.',
  notInside,
  '  --data DIR   the data folder (INLET_DATA; ./data where nothing is said)',
  '  --help       this text',
];

/** The command `backup`. */
export async function runBackup(args: readonly string[], io: Io): Promise<number> {
  const given = readArguments({ command: 'backup', help, options: storeOptions, names: ['FILE'] }, args, io);
  if (given === undefined) return 0;
  const [values, file] = given;
  const { dataDir } = readConfig({ data: values.data });
  const manifest = makeBackup(dataDir, file, new Date());
  io.out(`${file}: ${holds(manifest)}.`);
  io.out(notInside);
  return 0;
}

/** What a backup holds, in words. */
export function holds({ counts, made, head, database }: Manifest): string {
  const size = `${(database.bytes / 1024 / 1024).toFixed(1)} MB`;
  return `${counts.jobs} jobs with ${counts.entries} entries, ${counts.photos} photos and ${counts.records} records, ${size}, as of ${made}; head ${head.n} ${head.head.slice(0, 16)}`;
}
