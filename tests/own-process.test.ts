import { once } from 'node:events';
import { constants, getPriority } from 'node:os';
import { expect, onTestFinished, test } from 'vitest';
import { ownProcess } from '../src/own-process.js';

test('a process of its own stands behind whoever is at work', async () => {
  const child = ownProcess(
    new URL('../src/record/verify-apart.ts', import.meta.url).href,
    './verify-process',
    64,
  );
  onTestFinished(() => void child.kill('SIGKILL'));
  await once(child, 'spawn');
  expect(getPriority(child.pid)).toBe(constants.priority.PRIORITY_BELOW_NORMAL);
});
