import { expect, test } from 'vitest';
import { sheet } from '../../src/circuit/sheet.js';
import { holdsCutting, sheetGroups } from '../../src/circuit/sheet-line.js';
import { demoCircuit, demoJson } from './demo-circuit.js';

const lines = sheet(demoCircuit());

test('the demonstration circuit meets every limit of its sheet', () => {
  expect(lines.filter(holdsCutting)).toEqual([]);
  expect(lines.filter((line) => line.verdict === 'pass').length).toBeGreaterThan(40);
});

test('every group has lines, in the order of the groups', () => {
  const seen = [...new Set(lines.map((line) => line.group))];
  expect(seen).toEqual(sheetGroups.map((group) => group.id));
});

test('every line has an id of its own, a source, a value, a limit and a formula', () => {
  expect(new Set(lines.map((line) => line.id)).size).toBe(lines.length);
  for (const line of lines) {
    expect(line.sources.length, line.id).toBeGreaterThan(0);
    expect(
      [line.title, line.value, line.limit, line.formula].every((text) => text !== ''),
      line.id,
    ).toBe(true);
    expect(line.verdict === 'note' || line.mend !== '', line.id).toBe(true);
  }
});

test('no line is judged by grade D alone', () => {
  const wrong = lines.filter((line) => line.verdict !== 'note' && line.sources.every((s) => s.sure === 'D'));
  expect(wrong).toEqual([]);
});

test('no line calls anything safe, legal, approved or compliant', () => {
  const text = lines.map((l) => `${l.title} ${l.value} ${l.limit} ${l.formula} ${l.mend}`).join('\n');
  expect(text).not.toMatch(/\b(safe|legal|approved|compliant)\b/i);
});

test('ids name outlets by identity: an outlet put in front changes no id behind it', () => {
  const { run } = demoJson();
  const shelf = { ...structuredClone(run[1]!), id: 'shelf', place: 'shelf', loads: [] };
  const ids = new Set(sheet(demoCircuit({ run: run.toSpliced(1, 0, shelf) })).map((line) => line.id));
  expect(lines.map((line) => line.id).filter((id) => !ids.has(id))).toEqual([]);
});

test('a circuit without loads, sets or boxes at inlet and breaker still has a full sheet', () => {
  const bare = demoCircuit({
    together: [],
    'run.*.loads': [],
    'inlet.box': undefined,
    'breaker.box': undefined,
  });
  const verdicts = new Map(sheet(bare).map((line) => [line.id, line.verdict]));
  expect(verdicts.get('load.none')).toBe('note');
  expect(verdicts.get('box.fill.inlet')).toBe('note');
  expect([...verdicts.values()]).not.toContain('fail');
});

test('a run of one outlet has its sheet, and the same circuit gives the same sheet', () => {
  const one = demoCircuit({ run: demoJson().run.slice(0, 1), together: [] });
  expect(sheet(one)).toEqual(sheet(one));
  expect(sheet(one).some((line) => line.id === 'drop.total.bench')).toBe(true);
});
