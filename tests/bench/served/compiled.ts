import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';

/** The compiled server, as a shop runs it, in a process of its own on a free port. */
export interface Compiled {
  readonly address: string;
  readonly pid: number;
  /** When it has printed a line with these words; what it printed before counts too. */
  said(words: string): Promise<void>;
  stop(): Promise<void>;
}

/** Starts `inlet-logbook serve` on a data folder and waits until it says where it is. */
export async function serveCompiled(dir: string, level = 'warn'): Promise<Compiled> {
  const child = spawn('node', ['dist/main.js', 'serve', '--data', dir, '--port', '0'], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, INLET_LOG: level },
  });
  const ended = once(child, 'exit');
  const hear = listener(child);
  const [, address = ''] = /^Inlet Logbook: (\S+)/.exec(await hear('Inlet Logbook: ')) ?? [];
  return {
    address,
    pid: child.pid as number,
    said: async (words) => void (await hear(words)),
    async stop() {
      child.kill('SIGTERM');
      await ended;
    },
  };
}

/** Answers with the first line that holds the words. */
function listener(child: ChildProcess): (words: string) => Promise<string> {
  const heard: string[] = [];
  const waiting = new Set<{ words: string; tell: (line: string) => void }>();
  createInterface({ input: child.stdout as NodeJS.ReadableStream }).on('line', (line) => {
    heard.push(line);
    for (const one of waiting) if (line.includes(one.words)) one.tell(line);
  });
  return (words) => {
    const line = heard.find((text) => text.includes(words));
    if (line !== undefined) return Promise.resolve(line);
    return new Promise((resolve, reject) => {
      const one = { words, tell: resolve };
      waiting.add(one);
      child.once('exit', (code) =>
        reject(new Error(`the server ended with ${code} before it said “${words}”`)),
      );
    });
  };
}

/** Resident memory of a process now, and the most it ever held, MB. */
export function memoryOf(pid: number): { readonly nowMb: number; readonly mostMb: number } {
  const status = readFileSync(`/proc/${pid}/status`, 'utf8');
  const mb = (name: string) => Number(new RegExp(`${name}:\\s+(\\d+) kB`).exec(status)?.[1]) / 1024;
  return { nowMb: mb('VmRSS'), mostMb: mb('VmHWM') };
}
