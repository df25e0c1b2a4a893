import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const promise =
  /\b(safe|safely|safety|legal|legally|approved|compliant|compliance|up to code|certified (?:for|as|to))\b/i;

/** What a file could say to a person: its texts with a blank in them, without its comments. */
function sentencesIn(code: string): string[] {
  const plain = code.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
  return [...plain.matchAll(/'((?:\\.|[^'\\\n])*)'|"((?:\\.|[^"\\\n])*)"|`((?:\\.|[^`\\])*)`/g)]
    .map((match) => match[1] ?? match[2] ?? match[3] ?? '')
    .filter((text) => text.includes(' '));
}

const files = ['src', 'views/assets', 'seed-demo'].flatMap((folder) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.(ts|js)$/.test(file))
    .map((file) => join(folder, file)),
);
const said = files.flatMap((file) =>
  sentencesIn(readFileSync(join(root, file), 'utf8')).map((text) => ({ file, text })),
);

test('there are sentences to look at', () => {
  expect(said.length).toBeGreaterThan(2000);
});

test('no sentence of the product says that something is safe, legal, approved or compliant', () => {
  expect(said.filter(({ text }) => promise.test(text))).toEqual([]);
});

test('every apostrophe of a sentence is ’, on a page, in the record and at a terminal', () => {
  const straight = /[a-z)]\\?'(?:s|t|re|ll|ve|d)\b|[a-z]s' [a-z]/i;
  expect(said.filter(({ text }) => straight.test(text))).toEqual([]);
  const views = readdirSync(join(root, 'views'), { recursive: true, encoding: 'utf8' }).filter((file) =>
    file.endsWith('.eta'),
  );
  const shown = views.filter((file) =>
    straight.test(readFileSync(join(root, 'views', file), 'utf8').replace(/<%[\s\S]*?%>/g, '')),
  );
  expect(shown).toEqual([]);
});
