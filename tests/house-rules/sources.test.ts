import { readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';
import type { Source } from '../../src/trade/source.js';

const trade = resolve(import.meta.dirname, '../../src/trade');
const exported = (
  await Promise.all(
    readdirSync(trade).map(async (file) => {
      const module: Record<string, unknown> = await import(join(trade, file));
      return Object.entries(module).map(([name, value]) => ({ at: `${file} · ${name}`, value }));
    }),
  )
).flat();

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null;
const tables = exported.filter(({ value }) => isObject(value) && 'rows' in value);
const records = exported.flatMap(({ at, value }) =>
  isObject(value) && !('rows' in value) && !('publication' in value) && !Array.isArray(value)
    ? Object.entries(value).map(([id, entry]) => ({ at: `${at}.${id}`, value: entry }))
    : [],
);

function isSource(value: unknown): value is Source {
  if (!isObject(value)) return false;
  const { publication, sure } = value;
  return typeof publication === 'string' && publication !== '' && /^[ABCD]$/.test(String(sure));
}

test('every published table has a title, a unit, rows and a source', () => {
  expect(tables.length).toBeGreaterThan(10);
  const wrong = tables.filter(({ value }) => {
    const table = value as Record<string, unknown>;
    const rows = table.rows as unknown[];
    return !isSource(table.source) || !table.title || !table.unit || rows.length === 0;
  });
  expect(wrong.map(({ at }) => at)).toEqual([]);
});

test('every row that carries a source of its own carries a whole one', () => {
  const rows = tables.flatMap(({ at, value }) =>
    (value as { rows: Record<string, unknown>[] }).rows.map((row) => ({ at, row })),
  );
  expect(rows.filter(({ row }) => 'source' in row && !isSource(row.source)).map(({ at }) => at)).toEqual([]);
});

test('every limit and every caution carries a source', () => {
  expect(records.length).toBeGreaterThan(60);
  const wrong = records.filter(({ value }) => !isObject(value) || !isSource(value.source));
  expect(wrong.map(({ at }) => at)).toEqual([]);
});

test('a limit of grade D is never judged', () => {
  const wrong = records.filter(
    ({ value }) => isObject(value) && value.weight === 'judged' && (value.source as Source).sure === 'D',
  );
  expect(wrong).toEqual([]);
});

test('a source from memory, from practice or from judgement says so wherever it is shown', async () => {
  const { sourceText } = await import('../../src/trade/source.js');
  const sources = [...tables, ...records].flatMap(({ value }) => [(value as { source: Source }).source]);
  const silent = sources.filter((s) => s.sure >= 'C' && !/\(.+\)$/.test(sourceText(s)));
  expect(silent).toEqual([]);
});
