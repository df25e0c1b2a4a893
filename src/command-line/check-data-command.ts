import { existsSync } from 'node:fs';
import type { Io } from '../command.js';
import { readConfig } from '../config.js';
import { AppError } from '../errors.js';
import { findingText } from '../store/backup.js';
import { openDatabase } from '../store/database.js';
import { findings } from '../store/findings.js';
import { databaseName, headsName } from '../store/open-store.js';
import { readArguments, storeOptions, text } from './options.js';

const help = [
  'Usage: inlet-logbook check-data [--data DIR]',
  '',
  'Goes through a whole data folder and names every row that does not agree with the rest: the file, its tables and',
  'triggers, every logbook entry by entry, the heads beside them, photos and records, and the ends of logbooks that',
  'issued records speak of. Changes nothing; works beside a running server.',
  '  --data DIR   the data folder (INLET_DATA; ./data where nothing is said)',
  '  --help       this text',
  '',
  'Exit 0 where everything agrees, 1 where something does not, 2 for a wrong argument.',
];

/** The command `check-data`. */
export async function runCheckData(args: readonly string[], io: Io): Promise<number> {
  const { values } = readArguments('check-data', args, storeOptions, { names: [] });
  if (values.help === true) {
    for (const line of help) io.out(line);
    return 0;
  }
  const { dataDir } = readConfig({ data: text(values.data) });
  const file = `${dataDir}/${databaseName}`;
  if (!existsSync(file)) throw new AppError('bad-argument', `There is no logbook in ${dataDir}.`);
  const db = openDatabase(file, { readOnly: true });
  try {
    let found = 0;
    for (const finding of findings(db, `${dataDir}/${headsName}`)) {
      found += 1;
      io.out(findingText(finding));
    }
    const countOf = (table: string) => db.prepare(`SELECT count(*) FROM ${table}`).pluck().get() as number;
    const seen = `${countOf('heads')} entries of ${countOf('jobs')} jobs and the shop, ${countOf('photos')} photos, ${countOf('records')} records`;
    io.out(
      found === 0
        ? `${dataDir}: everything agrees (${seen}).`
        : `${dataDir}: ${found === 1 ? 'one thing does' : `${found} things do`} not agree (${seen}).`,
    );
    return found === 0 ? 0 : 1;
  } finally {
    db.close();
  }
}
