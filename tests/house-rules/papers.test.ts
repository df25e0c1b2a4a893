import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const read = (file: string) => readFileSync(join(root, file), 'utf8');
const scripts = Object.keys(
  (JSON.parse(read('package.json')) as { scripts: Record<string, string> }).scripts,
);

test.each(['README.md', 'DEVELOPERS.md'])('every script that %s names exists', (paper) => {
  const named = [...read(paper).matchAll(/npm run ([a-z:-]+)/g)].map((match) => match[1] as string);
  expect(named.filter((name) => !scripts.includes(name))).toEqual([]);
});

test.each(['README.md', 'DEVELOPERS.md'])('every file that %s names in the tree exists', (paper) => {
  const named = [...read(paper).matchAll(/`((?:src|views|tests|migrations|seed-demo)\/[\w./-]*)`/g)].map(
    (m) => m[1] as string,
  );
  expect(named.length).toBeGreaterThan(0);
  expect(named.filter((path) => !existsSync(join(root, path)))).toEqual([]);
});

test('every other name that DEVELOPERS.md sets apart is a file’s, or stands in the code', () => {
  const folders = ['src', 'views', 'tests', 'seed-demo'];
  const files = folders.flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.(ts|mjs|js|eta|css)$/.test(file))
      .map((file) => `${folder}/${file}`),
  );
  const names = files.map((file) => `/${file.replace(/\.\w+$/, '')}`);
  const code = [...files, 'package.json'].map(read).join('\n');
  const named = [...read('DEVELOPERS.md').matchAll(/`([a-z][\w-]*(?:\/[\w-]+)*)`/gi)].map(
    (m) => m[1] as string,
  );
  expect(named.length).toBeGreaterThan(100);
  expect(
    named.filter((name) => !names.some((file) => file.endsWith(`/${name}`)) && !code.includes(name)),
  ).toEqual([]);
});

test('the lock names no registry host', () => {
  expect(read('package-lock.json')).not.toMatch(/"resolved":\s*"https?:/);
});

test('every dependency is pinned to one version', () => {
  const { dependencies, devDependencies } = JSON.parse(read('package.json')) as Record<
    string,
    Record<string, string>
  >;
  const loose = Object.entries({ ...dependencies, ...devDependencies }).filter(
    ([, version]) => !/^\d+\.\d+\.\d+$/.test(version),
  );
  expect(loose).toEqual([]);
});
