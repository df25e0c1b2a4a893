import { once } from 'node:events';
import { readdirSync } from 'node:fs';
import { expect, onTestFinished, test, vi } from 'vitest';
import { ownProcess } from '../../../src/own-process.js';
import type { UpkeepTask } from '../../../src/store/upkeep/upkeep.js';
import { openedJob, tempFolder, tempStore } from '../temp-store.js';

const besideUpkeep = new URL('../../../src/store/upkeep/upkeep.ts', import.meta.url).href;

function started() {
  const child = ownProcess(besideUpkeep, './upkeep-process', 256);
  onTestFinished(() => void child.kill('SIGKILL'));
  const said: unknown[] = [];
  child.on('message', (answer) => said.push(answer));
  // What it said is heard by the time that it has let go.
  const ended = Promise.all([once(child, 'exit'), once(child, 'disconnect')]).then(([end]) => end);
  return { child, send: (task: UpkeepTask) => void child.send(task), said, ended };
}

test('goes on where a terminal or systemd tells the server and all that is the server’s to stop, and is gone once it has answered', async () => {
  const store = tempStore();
  openedJob(store);
  const folder = tempFolder();
  const { child, send, said, ended } = started();
  send({ do: 'backup', dir: store.dir, file: `${folder}/shop.backup`, now: '2026-11-25T08:00:00.000Z' });
  await vi.waitUntil(() => readdirSync(folder).length > 0, { timeout: 60_000, interval: 1 });
  child.kill('SIGINT');
  child.kill('SIGTERM');
  expect(await ended).toEqual([0, null]);
  expect(said).toEqual([{ manifest: expect.anything() }]);
  expect(readdirSync(folder)).toEqual(['shop.backup']);
});

test('tells why it could not, whatever went wrong', async () => {
  const { send, said, ended } = started();
  const file = `${tempFolder()}/shop.backup`;
  send({ do: 'backup', dir: tempFolder(), file, now: '2026-11-25T08:00:00.000Z' });
  await ended;
  expect(said).toEqual([{ refused: expect.stringMatching(/There is no logbook/) }]);
});

test('is gone where the server is', async () => {
  const { child, ended } = started();
  child.disconnect();
  expect(await ended).toEqual([0, null]);
});
