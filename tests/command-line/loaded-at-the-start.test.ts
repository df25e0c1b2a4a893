import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { expect, onTestFinished, test } from 'vitest';
import { tempFolder } from '../store/temp-store.js';

const root = new URL('../..', import.meta.url).pathname;

/** The modules that a server's main thread has loaded once its first page was sent, by their paths. */
async function loadedByServe(): Promise<readonly string[]> {
  const told = ['serve', '--data', tempFolder(), '--port', '0'];
  const program = ['--import', './tests/command-line/loaded.mjs', 'dist/main.js', ...told];
  const server = spawn(process.execPath, program, {
    cwd: root,
    env: { ...process.env, INLET_LOG: 'silent' },
    stdio: ['ignore', 'pipe', 'inherit', 'ipc'],
  });
  onTestFinished(() => void server.kill('SIGKILL'));
  let address: string | undefined;
  for await (const line of createInterface({ input: server.stdout as NodeJS.ReadableStream })) {
    address = /^Inlet Logbook: (\S+)/.exec(line)?.[1];
    if (address !== undefined) break;
  }
  expect((await fetch(`${address}/set-up`)).status).toBe(200);
  const answer = once(server, 'message');
  server.send('what is loaded?');
  const [loaded] = (await answer) as [string[]];
  return loaded.filter((url) => url.startsWith('file:') || url.startsWith('/'));
}

test('a start loads what its pages need, and nothing that draws, reads or packs what is asked for later', async () => {
  const loaded = await loadedByServe();
  const having = (part: RegExp) => loaded.filter((url) => part.test(url));
  // What the list is made of, lest it be empty.
  expect(having(/\/dist\/web\/step\/step-page\.js$/)).toHaveLength(1);
  expect(having(/\/node_modules\/fastify\/fastify\.js$/)).toHaveLength(1);
  // Compilers of JSON Schema, a hundred modules: pages are read with zod.
  expect(having(/\/node_modules\/(ajv|@fastify\/ajv-compiler|fast-uri)\//)).toEqual([]);
  expect(having(/\/node_modules\/fast-json-stringify\/index\.js$/)).toEqual([]);
  // Records are composed, drawn and looked through elsewhere; pictures are taken in when one comes.
  expect(having(/\/node_modules\/(pdfkit|fontkit|sharp)\//)).toEqual([]);
  expect(
    having(/\/dist\/record\/(document|draw-pdf|draw-again|issue-record|verify-pdf|compose-again)\.js$/),
  ).toEqual([]);
  // Backups are made and looked through in a process of their own.
  expect(having(/\/dist\/store\/upkeep\/backup\.js$/)).toEqual([]);
});
