import type { Io } from '../command.js';
import { type Config, readConfig } from '../config.js';
import { folderDoubt, onOneDisk } from '../store/mount-doubt.js';
import { openStore, type Store } from '../store/open-store.js';
import { signingFault } from '../store/shop-signer.js';
import { makeSetUpToken } from '../web/session/set-up-token.js';
import { listen, printSetUp, printWhere } from './listen.js';
import { readArguments, serveOptions, timestampOption } from './options.js';

const help = [
  'Usage: inlet-logbook serve [--data DIR] [--port N] [--host HOST] [--address URL] [--trust-proxy ADDRESS]',
  '                           [--timestamp URL] [--backup-dir DIR [--backup-every HOURS] [--backup-keep N]]',
  '',
  'Serves the shop that is kept in a data folder. An empty folder prints a one-time set-up token.',
  '  --data DIR    the data folder (INLET_DATA; ./data where nothing is said)',
  '  --port N      the port (INLET_PORT; 8080); 0 takes a free one',
  '  --host HOST   the address to listen on (INLET_HOST; 127.0.0.1). Any but this machine itself is served',
  '                over HTTPS with a certificate of its own, whose fingerprint is printed.',
  '  --address URL the address that others reach the shop by, such as https://van-shop.local:8080 (INLET_ADDRESS): what',
  '                an owner’s link begins with. Without it a link begins with the address its maker has the page open',
  '                under, which must be a name or an address of this machine.',
  '  --trust-proxy ADDRESS',
  '                believes the proxy at this address or network, such as 127.0.0.1 or 10.0.0.0/24 (several with commas',
  '                between), where it names who asked (X-Forwarded-For, its last address) and how (X-Forwarded-Proto)',
  '                (INLET_TRUST_PROXY). Nobody is believed where nothing is said. Give --address with it.',
  '  --timestamp URL',
  '                asks the authority at this http or https address (RFC 3161) for its time on every record that is',
  '                issued (INLET_TIMESTAMP). A record is issued all the same where it does not answer.',
  '  --backup-dir DIR',
  '                makes a backup of the whole shop in this folder by itself, while people work (INLET_BACKUP_DIR):',
  '                at the start where one is due, then every HOURS (--backup-every, INLET_BACKUP_EVERY; 24), of which the',
  '                newest N stay (--backup-keep, INLET_BACKUP_KEEP; 14).',
  '  --help        this text',
  '',
  'INLET_LOG sets how much is logged: silent, error, warn, info or debug.',
  'Exit 0 when told to stop, 2 for a wrong argument, 1 where the data folder cannot be opened.',
];

const options = {
  ...serveOptions,
  ...timestampOption,
  address: { type: 'string' },
  'trust-proxy': { type: 'string' },
  'backup-dir': { type: 'string' },
  'backup-every': { type: 'string' },
  'backup-keep': { type: 'string' },
} as const;

/** The command `serve`: until it is told to stop. */
export async function runServe(args: readonly string[], io: Io): Promise<number> {
  const given = readArguments({ command: 'serve', help, options }, args, io);
  if (given === undefined) return 0;
  const [values] = given;
  const config = readConfig({
    data: values.data,
    port: values.port,
    host: values.host,
    address: values.address,
    trustProxy: values['trust-proxy'],
    timestamp: values.timestamp,
    backupDir: values['backup-dir'],
    backupEvery: values['backup-every'],
    backupKeep: values['backup-keep'],
  });
  const clock = () => new Date();
  const store = openStore({ dir: config.dataDir, clock });
  const setUp = makeSetUpToken(clock());
  try {
    const server = await listen(config, store, setUp);
    printWhere(io, 'Inlet Logbook', server);
    io.out(`Data folder: ${store.dir}`);
    if (config.timestamp !== undefined) io.out(`Timestamps are asked of ${config.timestamp}`);
    if (config.backups !== undefined)
      io.out(
        `Backups: every ${config.backups.everyHours} h in ${config.backups.dir}, ${config.backups.keep} kept`,
      );
    if (store.keptBefore !== undefined)
      io.out(
        `The data folder came from an earlier version. Its database lies beside as it was, in ${store.keptBefore}: keep it until you have seen that all is well, then delete it.`,
      );
    for (const doubt of doubtsOf(store, config)) io.err(doubt);
    if (store.broken !== undefined)
      io.err(`The logbook is open for reading only: ${store.broken}. ${waysOut}`);
    const closed = signingFault(store, clock());
    if (closed !== undefined) io.err(`No record can be issued: ${closed}`);
    if (store.broken === undefined && !store.shop.state().named) printSetUp(io, server.addresses[0], setUp);
    await server.ended;
    return 0;
  } finally {
    store.close();
  }
}

const waysOut =
  'Stop the server and put back the file that belongs here. Where there is none, look what check-data says: a backup that can still be made, or else the newest good one, is restored into another folder, and the work goes on there.';

/** What of the disks and of the proxy is likely to be otherwise than it was meant. */
function* doubtsOf({ dir }: Store, { backups, trustsPeer, address }: Config): Generator<string> {
  const doubt = folderDoubt(dir);
  if (doubt !== undefined) yield doubt;
  if (backups !== undefined && onOneDisk(dir, backups.dir))
    yield `The backups in ${backups.dir} lie on the same disk as the shop: what takes the one takes the other. Where another disk was meant, it is not mounted.`;
  if (trustsPeer !== undefined && address === undefined)
    yield 'Behind a proxy no owner’s link can be made without --address (or INLET_ADDRESS): the address that others reach the shop by.';
}
