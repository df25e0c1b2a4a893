import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { expect, test } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const src = join(root, 'src');

/** Which folders each folder may import from, besides itself and errors.ts. */
const pureFlow = ['trade', 'circuit', 'meter', 'faults'];
const allowed: Record<string, readonly string[]> = {
  trade: [],
  circuit: ['trade'],
  meter: ['trade', 'circuit'],
  faults: ['trade', 'circuit', 'meter'],
  logbook: ['trade', 'circuit'],
  steps: [...pureFlow, 'logbook'],
  drawing: [...pureFlow, 'logbook', 'steps'],
  record: [...pureFlow, 'logbook', 'steps', 'drawing'],
  store: [...pureFlow, 'logbook', 'steps', 'record'],
  web: [...pureFlow, 'logbook', 'steps', 'drawing', 'record', 'store'],
  'command-line': [...pureFlow, 'logbook', 'steps', 'drawing', 'record', 'store', 'web'],
};
const pure = new Set(['trade', 'circuit', 'meter', 'faults', 'logbook', 'steps']);
const pureFiles = (file: string) =>
  pure.has(folderOf(file)) || file === 'record/document.ts' || file.startsWith('record/document/');
const purePackages: Record<string, readonly string[]> = { logbook: ['zod', 'node:crypto'] };

function filesIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => relative(src, join(entry.parentPath, entry.name)));
}

function folderOf(file: string): string {
  return file.includes('/') ? (file.split('/')[0] as string) : '';
}

function importsOf(file: string): string[] {
  const text = readFileSync(join(src, file), 'utf8');
  const statement = /^(?:import|export)\b(?:[^;'=()]*?\bfrom)?\s*'([^']+)'|\bimport\('([^']+)'\)/gm;
  return [...text.matchAll(statement)].map((match) => (match[1] ?? match[2]) as string);
}

const files = filesIn(src);

test('every folder under src imports only from the folders before it', () => {
  const wrong = files.flatMap((file) =>
    importsOf(file)
      .filter((target) => target.startsWith('.'))
      .map((target) => relative(src, resolve(join(src, dirname(file)), target)))
      .filter((target) => {
        const from = folderOf(file);
        const to = folderOf(target);
        if (from === '' || to === from) return false;
        if (to === '') return target !== 'errors.js' && !openTo(from).includes(target);
        return !allowed[from]?.includes(to);
      })
      .map((target) => `${file} → ${target}`),
  );
  expect(wrong).toEqual([]);
});

test('the pure folders import nothing but zod, and hashing for the logbook', () => {
  const wrong = files.filter(pureFiles).flatMap((file) =>
    importsOf(file)
      .filter((target) => !target.startsWith('.'))
      .filter((target) => !(purePackages[folderOf(file)] ?? ['zod']).includes(target))
      .map((target) => `${file} → ${target}`),
  );
  expect(wrong).toEqual([]);
});

test('the pure folders read no clock, no chance, no environment and wait for nothing', () => {
  const forbidden = /\bDate\.now\b|new Date\(\)|Math\.random|process\.|\basync\b|\bawait\b|setTimeout/;
  const wrong = files
    .filter(pureFiles)
    .filter((file) => forbidden.test(withoutComments(readFileSync(join(src, file), 'utf8'))));
  expect(wrong).toEqual([]);
});

test('only config.ts reads the environment', () => {
  const wrong = files.filter(
    (file) => file !== 'config.ts' && /process\.env/.test(readFileSync(join(src, file), 'utf8')),
  );
  expect(wrong).toEqual([]);
});

test('no source file is longer than 300 lines, tables excepted', () => {
  const long = files
    .filter((file) => folderOf(file) !== 'trade')
    .map((file) => ({ file, lines: readFileSync(join(src, file), 'utf8').split('\n').length - 1 }))
    .filter(({ lines }) => lines > 300);
  expect(long).toEqual([]);
});

test('no folder or file is a drawer for anything', () => {
  const drawers = files.filter((file) =>
    /(^|\/)(utils?|helpers?|common|misc|core|lib|index)(\.ts|\/)/.test(file),
  );
  expect(drawers).toEqual([]);
});

/** Files at the root that say where things are and how a person set them: the outer folders may ask, the pure ones never. */
function openTo(folder: string): readonly string[] {
  const atRoot = ['package-root.js', 'own-thread.js', 'config.js', 'command.js'];
  if (folder === 'command-line') return [...atRoot, 'app.js'];
  return pure.has(folder) ? [] : atRoot;
}

function withoutComments(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
}
