import { spawnSync } from 'node:child_process';
import { closeSync, openSync, readFileSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { buildApp } from '../../src/app.js';
import { logLinesTo } from '../../src/command-line/log-lines-to.js';
import { standingClock, tempFolder, tempStore } from '../store/temp-store.js';

async function answers(path: string) {
  const fd = openSync(path, 'a');
  const store = tempStore();
  const config = { logLevel: 'info' } as const;
  const app = await buildApp({ config, store, clock: standingClock(), log: logLinesTo(fd) });
  onTestFinished(async () => {
    await app.close();
    closeSync(fd);
  });
  return [(await app.inject('/version')).statusCode, (await app.inject('/health')).statusCode];
}

test('whoever asks is answered though the disk of the log is full', async () => {
  expect(await answers('/dev/full')).toEqual([200, 200]);
});

test('a log that has room has a line for each request', async () => {
  const path = `${tempFolder()}/log`;
  expect(await answers(path)).toEqual([200, 200]);
  expect(readFileSync(path, 'utf8').match(/"url":|"path":/g)).toHaveLength(2);
});

test('what is printed to a full disk ends with one line and a status, not with a trace', () => {
  const command = 'node --import tsx src/main.ts check seed-demo/circuit.json > /dev/full';
  const { status, stderr } = spawnSync('sh', ['-c', command], { encoding: 'utf8' });
  expect([status, stderr]).toEqual([1, expect.stringMatching(/^What is printed cannot be written: .*\n$/)]);
});
