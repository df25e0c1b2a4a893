import { type FileIo, UsageError } from '../command.js';
import { readConfig } from '../config.js';
import { exportJob, zippableJob } from '../store/carry/export-job.js';
import { zipJob } from '../store/carry/job-zip.js';
import { openStore } from '../store/open-store.js';
import { readArguments, storeOptions } from './options.js';
import { writeOut } from './write-out.js';

const help = [
  'Usage: inlet-logbook export JOB-NUMBER [--zip FILE.zip] [--data DIR]',
  '',
  'Prints a job as a file of the format inlet-job/1: its whole logbook with the photos and records it names.',
  'Works beside a running server.',
  '  --zip FILE.zip   write it there as one zip, photos and records as files of their own;',
  '                   a file that is there already is never written over',
  '  --data DIR       the data folder (INLET_DATA; ./data where nothing is said)',
  '  --help           this text',
];

const options = { ...storeOptions, zip: { type: 'string' } } as const;

/** The command `export`: one job, on the standard output or as a zip. */
export async function runExport(args: readonly string[], io: FileIo): Promise<number> {
  const given = readArguments({ command: 'export', help, options, names: ['JOB-NUMBER'] }, args, io);
  if (given === undefined) return 0;
  const [values, number] = given;
  const config = readConfig({ data: values.data });
  const store = openStore({ dir: config.dataDir, clock: () => new Date(), readOnly: true });
  try {
    if (!store.jobs.has(number)) throw new UsageError(`export: there is no job ${number} in ${store.dir}`);
    const zip = values.zip;
    if (zip === undefined) io.out(exportJob(store, number).trimEnd());
    else await writeOut('export', zip, Buffer.concat([...zipJob(zippableJob(store, number))]), io);
    return 0;
  } finally {
    store.close();
  }
}
