import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { type FileIo, UsageError } from '../command.js';
import { readConfig } from '../config.js';
import { packageRoot } from '../package-root.js';
import { openStore } from '../store/open-store.js';
import { listen, printWhere } from './listen.js';
import { makeDemo } from './make-demo.js';
import { readArguments, serveOptions } from './options.js';
import { readJobFileAt } from './read-job-file-at.js';

const help = [
  'Usage: inlet-logbook demo [--data DIR] [--port N] [--host HOST]',
  '',
  'Makes a shop of our own invention with one finished job, issues its signed record, and serves it. All data are invented.',
  '  --data DIR   an empty folder to keep it in (a temporary one where nothing is said)',
  '  --port N     the port (INLET_PORT; 8080)',
  '  --host HOST  the address to listen on (INLET_HOST; 127.0.0.1)',
  '  --help       this text',
];

/** The command `demo`: the invented shop, its job and its record, served until told to stop. */
export async function runDemo(args: readonly string[], io: FileIo): Promise<number> {
  const given = readArguments({ command: 'demo', help, options: serveOptions }, args, io);
  if (given === undefined) return 0;
  const [values] = given;
  const file = await readJobFileAt('demo', `${packageRoot}/seed-demo/job.json`, io);
  const named = values.data;
  const asked = readConfig({ data: named, port: values.port, host: values.host, log: 'warn' });
  const dir = named === undefined ? mkdtempSync(`${tmpdir()}/inlet-demo-`) : asked.dataDir;
  const config = { ...asked, dataDir: dir };
  const clock = () => new Date();
  const store = openStore({ dir, clock });
  let told = false;
  try {
    if (store.shop.state().named)
      throw new UsageError(`demo: ${dir} holds a shop already; name an empty folder`);
    const demo = await makeDemo(store, clock, file);
    const path = `${store.dir}/record-${demo.number}-r${demo.revision}.pdf`;
    writeFileSync(path, demo.pdf, { flush: true });
    const server = await listen(config, store);
    printWhere(io, 'Inlet Logbook, demonstration with invented data', server);
    for (const person of demo.people)
      io.out(
        `  sign in as ${person.signIn} with the passphrase ${person.passphrase}   (${person.name}: ${person.roles})`,
      );
    io.out(`Signed record of job ${demo.number}: ${path}`);
    io.out(`Data folder: ${store.dir}${named === undefined ? ', which stays until it is deleted' : ''}`);
    told = true;
    await server.ended;
    return 0;
  } finally {
    store.close();
    // Nobody knows of a folder that nothing was said of.
    if (named === undefined && !told) rmSync(dir, { recursive: true });
  }
}
