import { readdirSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join, resolve } from 'node:path';
import { expect, test } from 'vitest';

const tests = resolve(import.meta.dirname, '..');

test('a folder for a while is made in one place, so that a run leaves none behind', () => {
  const makers = readdirSync(tests, { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.m?ts$/.test(file))
    .filter((file) => /\bmkdtemp(Sync)?\(/.test(readFileSync(join(tests, file), 'utf8')));
  expect(makers.sort()).toEqual(['scratch-folder.ts', 'setup/folder-of-the-run.ts']);
});

test('whatever is kept for a while lies in the folder of the run, which goes with it', () => {
  expect(basename(tmpdir())).toMatch(/^inlet-tests-/);
});
