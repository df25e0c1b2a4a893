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
/** The rooms of src/web, each after those it may import from. */
const rooms = ['words', 'session', 'page', 'people', 'job', 'step', 'circuit', 'reading', 'shop', 'record'];
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

function importsOf(path: string): string[] {
  const text = readFileSync(path, 'utf8');
  const statement = /^(?:import|export)\b(?:[^;'=()]*?\bfrom)?\s*'([^']+)'|\bimport\('([^']+)'\)/gm;
  return [...text.matchAll(statement)].map((match) => (match[1] ?? match[2]) as string);
}

/** The files of this project that a file imports, by their paths. */
function filesAskedBy(path: string): string[] {
  return importsOf(path)
    .filter((target) => target.startsWith('.'))
    .map((target) => resolve(dirname(path), target).replace(/\.js$/, '.ts'));
}

const files = filesIn(src);

const arrows = files.flatMap((from) =>
  filesAskedBy(join(src, from)).map((to) => ({ from, to: relative(src, to) })),
);
const inWords = ({ from, to }: (typeof arrows)[number]) => `${from} → ${to}`;

test('every folder under src imports only from the folders before it', () => {
  const wrong = arrows
    .filter(({ from, to }) => {
      const [folder, other] = [folderOf(from), folderOf(to)];
      if (folder === '' || other === folder) return false;
      if (other === '') return to !== 'errors.ts' && !openTo(folder).includes(to);
      return !allowed[folder]?.includes(other);
    })
    .map(inWords);
  expect(wrong).toEqual([]);
});

test('every room of the pages imports only from the rooms before it', () => {
  const room = (file: string) => /^web\/([^/]+)\//.exec(file)?.[1];
  const unknown = files.map(room).filter((name) => name !== undefined && !rooms.includes(name));
  const wrong = arrows
    .filter(({ from, to }) => rooms.indexOf(room(to) ?? '') > rooms.indexOf(room(from) ?? ''))
    .filter(({ from }) => room(from) !== undefined)
    .map(inWords);
  expect([...unknown, ...wrong]).toEqual([]);
});

test('no file imports itself, over however many others', () => {
  const before = new Map(files.map((file) => [file, arrows.filter(({ from }) => from === file)]));
  // What imports nothing that is left goes, until nothing more can: a circle is what stays.
  for (let gone = 1; gone > 0; ) {
    const free = [...before].filter(([, all]) => all.every(({ to }) => !before.has(to)));
    gone = free.length;
    for (const [file] of free) before.delete(file);
  }
  expect([...before.keys()]).toEqual([]);
});

test('the pure folders import nothing but zod, and hashing for the logbook', () => {
  const wrong = files.filter(pureFiles).flatMap((file) =>
    importsOf(join(src, file))
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

test('whatever a file exports another file asks for, but for tables of the trade, whose sources are asked for', () => {
  const all = ['src', 'tests', 'seed-demo'].flatMap((folder) =>
    readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts'))
      .map((file) => join(root, folder, file))
      .map((path) => ({
        asks: new Set(filesAskedBy(path)),
        words: new Set(readFileSync(path, 'utf8').match(/\w+/g)),
      })),
  );
  const alone = files.flatMap((file) => {
    const exported = /^export (?:async )?(function\*?|const|type|interface|class) (\w+)/gm;
    const askers = all.filter(({ asks }) => asks.has(join(src, file)));
    return [...readFileSync(join(src, file), 'utf8').matchAll(exported)]
      .filter(([, what]) => folderOf(file) !== 'trade' || what !== 'const')
      .map(([, , name = '']) => ({ file, name }))
      .filter(({ name }) => !askers.some(({ words }) => words.has(name)));
  });
  expect(alone).toEqual([]);
});

test('no folder or file is a drawer for anything', () => {
  const drawers = files.filter((file) =>
    /(^|\/)(utils?|helpers?|common|misc|core|lib|index)(\.ts|\/)/.test(file),
  );
  expect(drawers).toEqual([]);
});

/** Files at the root that say where things are and how a person set them: the outer folders may ask, the pure ones never. */
function openTo(folder: string): readonly string[] {
  const atRoot = [
    'package-root.ts',
    'own-thread.ts',
    'own-process.ts',
    'in-turns.ts',
    'config.ts',
    'command.ts',
    'put-newest.ts',
  ];
  if (folder === 'command-line') return [...atRoot, 'app.ts'];
  return pure.has(folder) ? [] : atRoot;
}

function withoutComments(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
}
