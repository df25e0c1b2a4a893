import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';
import { errorList } from '../../src/errors.js';

const root = resolve(import.meta.dirname, '../..');
const sources = readdirSync(join(root, 'src'), { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.ts') && file !== 'errors.ts')
  .map((file) => readFileSync(join(root, 'src', file), 'utf8'))
  .join('\n');
const paper = readFileSync(join(root, 'DEVELOPERS.md'), 'utf8');

test('every error code in the list is used by the product', () => {
  const dead = Object.keys(errorList).filter((code) => !sources.includes(`'${code}'`));
  expect(dead).toEqual([]);
});

test('DEVELOPERS.md names every error code, and none that does not exist', () => {
  const section = paper.split('## Error codes')[1]?.split('\n## ')[0] ?? '';
  const named = [...section.matchAll(/`([a-z-]+)`/g)].map((match) => match[1]);
  expect(named.sort()).toEqual(Object.keys(errorList).sort());
});
