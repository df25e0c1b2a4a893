import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';

export interface Served<T> {
  readonly told: T;
  readonly pid: number;
  /** Sends the server one word and answers what it tells in return. */
  ask<A = unknown>(word: string): Promise<A>;
  stop(): Promise<void>;
}

/** Starts one of the servers beside this file in a process of its own, and waits for what it tells. */
export async function start<T>(server: 'shop' | 'bytes', ...args: readonly string[]): Promise<Served<T>> {
  const child: ChildProcess = fork(new URL(`${server}.ts`, import.meta.url), args, {
    execArgv: ['--import', 'tsx'],
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const ended = once(child, 'exit');
  const told = await Promise.race([
    once(child, 'message').then(([message]) => message as T),
    ended.then(([code]) => {
      throw new Error(`${server} ended with ${code} ahead of its time`);
    }),
  ]);
  return {
    told,
    pid: child.pid as number,
    async ask<A>(word: string) {
      const answer = once(child, 'message');
      child.send(word);
      return (await answer)[0] as A;
    },
    async stop() {
      child.disconnect();
      await ended;
    },
  };
}

/** A folder for a bench, gone when its work is done. */
export async function inFolder<T>(work: (dir: string) => Promise<T>): Promise<T> {
  const dir = mkdtempSync(`${tmpdir()}/inlet-bench-`);
  try {
    return await work(dir);
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
}
