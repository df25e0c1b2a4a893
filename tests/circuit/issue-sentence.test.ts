import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parseCircuit } from '../../src/circuit/parse-circuit.js';
import { AppError } from '../../src/errors.js';
import { parseReadingsFile } from '../../src/meter/readings-file.js';
import { readJobFile } from '../../src/store/carry/job-file.js';
import { demoJson } from './demo-circuit.js';

type Json = Readonly<Record<string, unknown>>;

const wrong: readonly unknown[] = [null, true, 'x', '', [], {}, -1, 1e9, 5.5, undefined];
const ofTheLibrary = /Invalid |Too (?:small|big)|expected|received|Unrecognized|undefined|\[object/;

/** Every place in a value, of a list its first. */
function* placesIn(
  value: unknown,
  path: readonly (string | number)[] = [],
): Generator<readonly (string | number)[]> {
  yield path;
  if (Array.isArray(value)) {
    if (value.length > 0) yield* placesIn(value[0], [...path, 0]);
  } else if (typeof value === 'object' && value !== null)
    for (const [key, inner] of Object.entries(value)) yield* placesIn(inner, [...path, key]);
}

function withValue(document: Json, path: readonly (string | number)[], value: unknown): unknown {
  if (path.length === 0) return value ?? null;
  const copy = structuredClone(document) as Record<string | number, unknown>;
  const at = path.slice(0, -1).reduce((o, key) => o[key] as Record<string | number, unknown>, copy);
  at[path.at(-1)!] = value;
  return copy;
}

/** The sentences about every wrong value at every place, and how many there were. */
function sentencesOn(document: Json, read: (text: string) => readonly string[]): string[] {
  return [...placesIn(document)].flatMap((path) =>
    wrong.flatMap((value) => read(JSON.stringify(withValue(document, path, value)))),
  );
}

const issuesOf = (answer: { ok: boolean; issues?: readonly { field: string; message: string }[] }) =>
  (answer.issues ?? []).map((i) => i.message);
const circuitRead = (text: string) => issuesOf(parseCircuit(JSON.parse(text)));
const readingsRead = (text: string) => issuesOf(parseReadingsFile(text));
function jobRead(text: string): string[] {
  try {
    readJobFile(text);
    return [];
  } catch (error) {
    if (error instanceof AppError) return [error.message];
    throw error;
  }
}

const readings = (reading: Json): Json => ({
  format: 'inlet-readings/1',
  circuit: {
    supply: { volts: 120, loopOhms: 0.3 },
    cord: { awg: 12, lengthM: 7.6 },
    inlet: { amps: 15 },
    breaker: { amps: 15 },
    bond: { awg: 8, lengthM: 1 },
    run: [{ device: 'gfci-receptacle', feed: { awg: 12, lengthM: 3 } }],
  },
  meter: {
    ohms: { percent: 0.9, counts: 2, resolution: 0.1, overLimit: 4e7 },
    volts: { percent: 1, counts: 3, resolution: 0.1 },
    inputOhms: 1e7,
  },
  readings: [reading],
});
const job = JSON.parse(readFileSync(new URL('../../seed-demo/job.json', import.meta.url), 'utf8')) as Json & {
  entries: { kind: string; digest?: string; prev?: string }[];
};
const kinds = [...new Map(job.entries.map((e) => [e.kind, e])).values()];

test.each<readonly [string, Json, (text: string) => readonly string[]]>([
  ['a circuit', demoJson(), circuitRead],
  [
    'a resistance',
    readings({ test: 'resistance', from: 'inlet.hot', to: 'inlet.ground', ohms: null }),
    readingsRead,
  ],
  [
    'a load',
    readings({ test: 'loaded-voltage', from: 'outlet1.hot', to: 'outlet1.neutral', amps: 8, volts: 116 }),
    readingsRead,
  ],
  ['an answer', readings({ test: 'observation', what: 'gfci-resets', answer: true }), readingsRead],
  ...kinds.map(
    (entry) =>
      [`a job with “${entry.kind}”`, { ...job, photos: {}, records: {}, entries: [entry] }, jobRead] as const,
  ),
])('whatever is wrong in %s is said in our own words', (_what, document, read) => {
  const sentences = sentencesOn(document, read);
  expect(sentences.length).toBeGreaterThan(20);
  expect(sentences.filter((s) => ofTheLibrary.test(s))).toEqual([]);
});
