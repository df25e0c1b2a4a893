import { type FileIo, UsageError } from '../command.js';
import { readConfig } from '../config.js';
import { AppError } from '../errors.js';
import { importJob } from '../store/carry/import-job.js';
import { refuseNotYet } from '../store/carry/not-yet.js';
import { openStore } from '../store/open-store.js';
import { readArguments, storeOptions } from './options.js';
import { readJobFileAt } from './read-job-file-at.js';

const help = [
  'Usage: inlet-logbook import JOB.json|JOB.zip [--data DIR]',
  '',
  'Writes a job file (inlet-job/1, as JSON or zipped) into the shop, entry by entry through the same rules as the pages; all or nothing.',
  'A file as export wrote it is taken whole, though an earlier version wrote it; steps of which today’s rules ask more are open again.',
  'A job that was exported here and carried on in another folder comes back in the same way: what is new goes behind what is',
  'here. Where it was carried on here meanwhile too, nothing is written, and both ends are named.',
  'Photos and records that a JSON names and does not hold are read beside it: photos/DIGEST.jpg, records/DIGEST.pdf.',
  'The server must not be running on the same data folder.',
  '  --data DIR   the data folder (INLET_DATA; ./data where nothing is said)',
  '  --help       this text',
];

/** The command `import`: a job that was exported elsewhere. */
export async function runImport(
  args: readonly string[],
  io: FileIo,
  clock: () => Date = () => new Date(),
): Promise<number> {
  const given = readArguments(
    { command: 'import', help, options: storeOptions, names: ['JOB.json|JOB.zip'] },
    args,
    io,
  );
  if (given === undefined) return 0;
  const [values, path] = given;
  const file = await readJobFileAt('import', path, io);
  const config = readConfig({ data: values.data });
  const store = openStore({ dir: config.dataDir, clock });
  try {
    refuseNotYet(file, clock());
    const { number, held, entries, sameChain, openAgain, ofOwn } = await importJob(store, file);
    const behind = held === 0 ? '' : ` behind the ${held} that were here already`;
    io.out(
      `Job ${number}: ${entries} entries written${behind}${sameChain ? ', with the digests of the file' : ''}.`,
    );
    for (const { name, entries: named } of ofOwn)
      io.out(
        `  By ${name} of this shop, though not written here: ${named === 1 ? '1 entry' : `${named} entries`}. Only ${name} can say whose they are: show them the logbook.`,
      );
    for (const step of openAgain) io.out(`  Open again: ${step}`);
    return 0;
  } catch (error) {
    if (error instanceof AppError && error.code === 'bad-file')
      throw new UsageError(`import: ${path}: ${error.message}`);
    throw error;
  } finally {
    store.close();
  }
}
