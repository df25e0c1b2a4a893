import type { Io } from '../command.js';
import { readConfig } from '../config.js';
import { closedKey } from '../store/closed-key.js';
import { folderDoubt } from '../store/mount-doubt.js';
import { headsName, openBeside } from '../store/open-beside.js';
import { refuseNewer } from '../store/refuse-newer.js';
import type { Finding } from '../store/upkeep/finding.js';
import { findingText } from '../store/upkeep/finding.js';
import { findings } from '../store/upkeep/findings.js';
import { lineFindings } from '../store/upkeep/line-findings.js';
import { readArguments, storeOptions } from './options.js';

const help = [
  'Usage: inlet-logbook check-data [--data DIR]',
  '',
  'Goes through a whole data folder and names every row that does not agree with the rest: the file, its tables and',
  'triggers, every logbook entry by entry, the heads beside them, photos and records, the ends of logbooks that',
  'issued records speak of, what the list of jobs says of each, and whether shop.secret opens the key that signs.',
  'Changes nothing; works beside a running server.',
  '  --data DIR   the data folder (INLET_DATA; ./data where nothing is said)',
  '  --help       this text',
  '',
  'Exit 0 where everything agrees, 1 where something does not, 2 for a wrong argument.',
];

/** The command `check-data`. */
export async function runCheckData(args: readonly string[], io: Io): Promise<number> {
  const given = readArguments({ command: 'check-data', help, options: storeOptions }, args, io);
  if (given === undefined) return 0;
  const [values] = given;
  const { dataDir } = readConfig({ data: values.data });
  const db = openBeside(dataDir);
  try {
    refuseNewer(db);
    const doubt = folderDoubt(dataDir);
    if (doubt !== undefined) io.err(doubt);
    let found = 0;
    const say = (finding: Finding) => {
      found += 1;
      io.out(findingText(finding));
    };
    for (const finding of findings(db, `${dataDir}/${headsName}`)) say(finding);
    // What the list should say can be told from whole logbooks alone.
    if (found === 0) for (const finding of lineFindings(db)) say(finding);
    for (const finding of closedKey(db, dataDir)) say(finding);
    const countOf = (table: string) => db.prepare(`SELECT count(*) FROM ${table}`).pluck().get() as number;
    const seen = () =>
      `${countOf('heads')} entries of ${countOf('jobs')} jobs and the shop, ${countOf('photos')} photos, ${countOf('records')} records`;
    io.out(
      found === 0
        ? `${dataDir}: everything agrees (${seen()}).`
        : `${dataDir}: ${found === 1 ? 'one thing does' : `${found} things do`} not agree.`,
    );
    return found === 0 ? 0 : 1;
  } finally {
    db.close();
  }
}
