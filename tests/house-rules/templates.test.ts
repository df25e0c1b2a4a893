import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';

const views = resolve(import.meta.dirname, '../../views');
const templates = readdirSync(views, { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.eta'))
  .map((file) => ({ file, text: readFileSync(join(views, file), 'utf8') }));

function offenders(isWrong: (text: string) => boolean): string[] {
  return templates.filter(({ text }) => isWrong(text)).map(({ file }) => file);
}

test('there are templates to look at', () => {
  expect(templates.length).toBeGreaterThan(10);
});

test('a template writes raw text only for its layout, its parts and drawings that were escaped when drawn', () => {
  const raw = templates.flatMap(({ file, text }) =>
    [...text.matchAll(/<%~\s*([^%]*)%>/g)]
      .map((match) => (match[1] as string).trim())
      .filter((code) => !/^(include(Async|Block)?\(|it\.body\b|it(\.\w+)*\.svg\b|(\w+\.)*svg\b)/.test(code))
      .map((code) => `${file}: ${code}`),
  );
  expect(raw).toEqual([]);
});

test('every template says on its first line what it is given', () => {
  expect(offenders((text) => !/^<%\s*\/\*\s*(it|in):/.test(text))).toEqual([]);
});

test('no template carries a script or a style of its own, or an event handler', () => {
  expect(offenders((text) => /<script(?![^>]*\bsrc=)|<style|\sstyle=|\son[a-z]+=/.test(text))).toEqual([]);
});

test('every attribute that is filled in is quoted', () => {
  expect(offenders((text) => /=\s*<%=/.test(text.replace(/<%[^=~][\s\S]*?%>/g, '')))).toEqual([]);
});

test('no screen says that something is safe, legal, approved or compliant', () => {
  const says =
    /\b(is|are|looks?|now) (safe|legal|approved|compliant|certified)\b|\bto code\b|\bup to code\b/i;
  expect(offenders((text) => says.test(text))).toEqual([]);
});
