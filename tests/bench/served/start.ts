import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync, rmSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { scratchFolder } from '../../scratch-folder.js';

export interface Served {
  readonly address: string;
  readonly pid: number;
  /** When it has printed a line with these words; what it printed before counts too. */
  said(words: string): Promise<void>;
  /** What the process holds while the work is done. */
  watched(work: () => Promise<unknown>): Promise<LoopHeld>;
  stop(): Promise<void>;
}

/** What the process held while it was watched: its event loop, and memory at most. */
export interface LoopHeld {
  readonly p99Ms: number;
  readonly mostMs: number;
  readonly mostMb: number;
}

const beside = (name: string) => new URL(name, import.meta.url).pathname;

/** Starts the compiled product on a data folder, as a shop does, and waits until it says where it is. */
export function serve(dir: string, level = 'warn'): Promise<Served> {
  // The proxy that is believed is this machine itself, so that requests may come from many addresses (`fromAnywhere`).
  const told = [
    'serve',
    '--data',
    dir,
    '--port',
    '0',
    '--trust-proxy',
    '127.0.0.1',
    '--address',
    'http://shop.invalid',
  ];
  const program = [...first.flags, '--import', beside('watch-loop.mjs'), 'dist/main.js', ...told];
  return started('Inlet Logbook: ', program, level, first.env);
}

/** What the product's first line tells Node and the system, as `npm start` runs it. */
const first = firstLine(readFileSync('src/main.ts', 'utf8'));

function firstLine(source: string): {
  readonly env: Readonly<Record<string, string>>;
  readonly flags: readonly string[];
} {
  const [, told, flags] = /^#!\/usr\/bin\/env -S (.*)node (--.+)$/m.exec(source) ?? [];
  if (told === undefined || flags === undefined)
    throw new Error('the first line of src/main.ts tells Node nothing');
  const env = told.split(' ').filter((word) => word.includes('='));
  return { env: Object.fromEntries(env.map((word) => word.split('='))), flags: flags.split(' ') };
}

/** Starts Fastify alone, which sends the bytes of one file whatever it is asked. */
export function serveBytes(file: string): Promise<Served> {
  return started('Bytes: ', ['--import', 'tsx', beside('bytes.ts'), file], 'warn');
}

async function started(
  words: string,
  args: readonly string[],
  level: string,
  env: Readonly<Record<string, string>> = {},
): Promise<Served> {
  const child = spawn(process.execPath, args, {
    stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
    env: { ...process.env, ...env, INLET_LOG: level },
  });
  const ended = once(child, 'exit');
  const hear = listener(child);
  const address = (await hear(words)).slice(words.length).split(' ')[0] as string;
  const ask = async (word: string) => {
    const answer = once(child, 'message');
    child.send(word);
    return (await answer)[0] as unknown;
  };
  return {
    address,
    pid: child.pid as number,
    said: async (words) => void (await hear(words)),
    async watched(work) {
      await ask('watch');
      await work();
      return (await ask('tell')) as LoopHeld;
    },
    async stop() {
      child.kill('SIGTERM');
      await ended;
    },
  };
}

/** Answers with the first line that holds the words. */
function listener(child: ChildProcess): (words: string) => Promise<string> {
  const heard: string[] = [];
  const waiting = new Set<(line: string) => void>();
  createInterface({ input: child.stdout as NodeJS.ReadableStream }).on('line', (line) => {
    heard.push(line);
    for (const tell of waiting) tell(line);
  });
  return (words) =>
    new Promise((resolve, reject) => {
      const said = heard.find((line) => line.includes(words));
      if (said !== undefined) return resolve(said);
      const early = (code: number | null) =>
        reject(new Error(`the server ended with ${code} before it said “${words}”`));
      const tell = (line: string) => {
        if (!line.includes(words)) return;
        waiting.delete(tell);
        child.off('exit', early);
        resolve(line);
      };
      waiting.add(tell);
      child.once('exit', early);
    });
}

/** Resident memory of a process now, and the most it ever held, MB. */
export function memoryOf(pid: number): { readonly nowMb: number; readonly mostMb: number } {
  const status = readFileSync(`/proc/${pid}/status`, 'utf8');
  const mb = (name: string) => Number(new RegExp(`${name}:\\s+(\\d+) kB`).exec(status)?.[1]) / 1024;
  return { nowMb: mb('VmRSS'), mostMb: mb('VmHWM') };
}

let asked = 0;

/** A header as a proxy sends it, from another address every time: one address alone may ask 1,200 times a minute. */
export function fromAnywhere(): Readonly<Record<'x-forwarded-for', string>> {
  asked += 1;
  return { 'x-forwarded-for': `10.${(asked >> 16) & 255}.${(asked >> 8) & 255}.${asked & 255}` };
}

/** A folder for a bench, gone when its work is done. */
export async function inFolder<T>(work: (dir: string) => Promise<T>): Promise<T> {
  const dir = scratchFolder();
  try {
    return await work(dir);
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
}
