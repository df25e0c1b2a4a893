import type { Io } from '../command.js';
import { UsageError } from '../command.js';
import { readConfig } from '../config.js';
import { exportJob } from '../store/export-job.js';
import { openStore } from '../store/open-store.js';
import { readArguments, storeOptions, text } from './options.js';

const help = [
  'Usage: inlet-logbook export JOB-NUMBER [--data DIR]',
  '',
  'Prints a job as a file of the format inlet-job/1: its whole logbook with the photos and records it names.',
  'Works beside a running server.',
  '  --data DIR   the data folder (INLET_DATA; ./data where nothing is said)',
  '  --help       this text',
];

/** The command `export`: one job, on the standard output. */
export async function runExport(args: readonly string[], io: Io): Promise<number> {
  const { values, positionals } = readArguments('export', args, storeOptions, { names: ['JOB-NUMBER'] });
  if (values.help === true) {
    for (const line of help) io.out(line);
    return 0;
  }
  const [number] = positionals as [string];
  const config = readConfig({ data: text(values.data) });
  const store = openStore({ dir: config.dataDir, clock: () => new Date(), readOnly: true });
  try {
    if (!store.jobs.has(number)) throw new UsageError(`export: there is no job ${number} in ${store.dir}`);
    io.out(exportJob(store, number).trimEnd());
    return 0;
  } finally {
    store.close();
  }
}
