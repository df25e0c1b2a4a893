import { spawn } from 'node:child_process';
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { onTestFinished } from 'vitest';
import { demoInstruments } from '../../../seed-demo/demo-script.js';
import { chainFault } from '../../../src/logbook/chain.js';
import { importJob } from '../../../src/store/carry/import-job.js';
import { readJobFile } from '../../../src/store/carry/job-file.js';
import { openStore } from '../../../src/store/open-store.js';
import { scratchFolder } from '../../scratch-folder.js';
import { furnishShop, playedFile } from '../../web/played-shop.js';

const root = new URL('../../..', import.meta.url).pathname;

/** The compiled server in a process of its own. */
export interface RealServer {
  readonly address: URL;
  readonly pid: number;
  /** All that it printed so far. */
  readonly printed: () => string;
  /** Ends it with a signal and waits until it is gone. */
  end(signal?: NodeJS.Signals): Promise<void>;
}

/**
 * Starts the compiled server over a data folder, on a port of its own, and waits until it says where it is. `under` is a command
 * that runs it, such as strace; signals go to the server itself.
 */
export function startServer(
  dir: string,
  { under = [], program = `${root}dist/main.js` }: { under?: readonly string[]; program?: string } = {},
): Promise<RealServer> {
  return untilReady(spawnServer(dir, under, program), under.length > 0);
}

/** The same in two steps: its modules are loaded while something else goes on, and the data folder is opened by the answer. */
export function loadServer(dir: string): () => Promise<RealServer> {
  const child = spawnServer(dir, [], new URL('loaded-ahead.mjs', import.meta.url).pathname);
  return () => {
    child.stdin.end('start\n');
    return untilReady(child);
  };
}

function spawnServer(dir: string, under: readonly string[], program: string) {
  const words = [...under, process.execPath, program, 'serve', '--data', dir, '--port', '0'];
  const child = spawn(words[0] as string, words.slice(1), {
    cwd: root,
    env: { ...process.env, INLET_LOG: 'error' },
    stdio: ['pipe', 'pipe', 'pipe'],
  });
  onTestFinished(() => void child.kill('SIGKILL'));
  return child;
}

async function untilReady(child: ReturnType<typeof spawnServer>, isUnder = false): Promise<RealServer> {
  const gone = new Promise<void>((resolve) => child.once('close', () => resolve()));
  let printed = '';
  const address = await new Promise<URL>((resolve, reject) => {
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (text: string) => {
        printed += text;
        const found = /Inlet Logbook: (http:\S+)\n/.exec(printed);
        if (found !== null) resolve(new URL(found[1] as string));
      });
    void gone.then(() => reject(new Error(`the server does not start:\n${printed}`)));
  });
  const own = child.pid as number;
  const pid = isUnder ? Number.parseInt(readFileSync(`/proc/${own}/task/${own}/children`, 'utf8'), 10) : own;
  return {
    address,
    pid,
    printed: () => printed,
    async end(signal = 'SIGKILL') {
      if (child.exitCode === null && child.signalCode === null) process.kill(pid, signal);
      await gone;
    },
  };
}

/** What can be written over and over in the job below: a reading of a dead circuit, and a photo. */
export const written = {
  job: '2026-001',
  reading: 'ground-path.bench',
  /** What the meter shows on the sound circuit. */
  ohms: '0.02',
  instrument: demoInstruments[0]?.id as string,
  photoStep: 'bond',
  photoAsk: 'bare',
} as const;

/** A furnished shop in this folder with one job, played until the ground path is to be read: made once a file of tests. */
export async function makeShopAtGroundPath(dir: string): Promise<void> {
  madeOnce ??= makeShop();
  for (const [name, bytes] of await madeOnce) writeFileSync(`${dir}/${name}`, bytes, { mode: 0o600 });
}

let madeOnce: Promise<ReadonlyMap<string, Buffer>> | undefined;

async function makeShop(): Promise<ReadonlyMap<string, Buffer>> {
  const dir = scratchFolder();
  try {
    const clock = () => new Date();
    const store = openStore({ dir, clock });
    furnishShop({ store, clock });
    const file = await playedFile((job) => job.next?.step.id === 'ground-path');
    const { number } = await importJob(store, readJobFile(JSON.stringify(file)));
    store.close();
    if (number !== written.job) throw new Error(`the job is ${number}, not ${written.job}`);
    return new Map(readdirSync(dir).map((name) => [name, readFileSync(`${dir}/${name}`)]));
  } finally {
    rmSync(dir, { recursive: true });
  }
}

/** What a store says of itself once its server is gone, and how many readings of the ground path it has. */
export function standing(dir: string) {
  const store = openStore({ dir, clock: () => new Date() });
  const entries = store.logbook.entries(written.job);
  const readings = entries.filter((e) => e.subject === `reading:${written.reading}`).length;
  const found = { broken: store.broken, fault: chainFault(entries), readings };
  store.close();
  return found;
}
