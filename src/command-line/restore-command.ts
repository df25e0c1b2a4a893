import type { Io } from '../command.js';
import { readConfig } from '../config.js';
import { notInside, restoreBackup } from '../store/upkeep/backup.js';
import { holds } from './backup-command.js';
import { readArguments, storeOptions } from './options.js';

const help = [
  'Usage: inlet-logbook restore FILE [--data DIR]',
  '',
  'Puts a backup into a folder that is empty or not there yet. Everything is looked through first; a backup that is',
  'damaged, cut short or of a newer version is refused whole.',
  notInside,
  'Put shop.secret into the folder before the first start, or make a new signing key on the page of the shop.',
  '  --data DIR   the folder (INLET_DATA; ./data where nothing is said)',
  '  --help       this text',
];

/** A backup knows nothing of what was taken away after it. */
const undone =
  'What was done after that moment is undone too: an owner’s link that was withdrawn since opens again, whoever was retired since is active again, and numbers of jobs that were opened since are given anew. Look through them first.';

/** The command `restore`. */
export async function runRestore(args: readonly string[], io: Io): Promise<number> {
  const given = readArguments({ command: 'restore', help, options: storeOptions, names: ['FILE'] }, args, io);
  if (given === undefined) return 0;
  const [values, file] = given;
  const { dataDir } = readConfig({ data: values.data });
  io.out(`${dataDir}: ${holds(restoreBackup(file, dataDir))}.`);
  io.out(notInside);
  io.out(undone);
  io.out('A keeper gets in again by: inlet-logbook keeper-passphrase NAME --data DIR');
  return 0;
}
