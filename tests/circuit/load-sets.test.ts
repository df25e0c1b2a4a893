import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Circuit } from '../../src/circuit/circuit.js';
import { loadSets, loadSetText } from '../../src/circuit/load-sets.js';
import { runTogetherLines } from '../../src/circuit/owner-facts.js';
import { demoCircuit } from './demo-circuit.js';

type LoadPatch = { name: string; watts: number; continuous: boolean; fastened: boolean };

function withLoads(...byOutlet: LoadPatch[][]): Circuit {
  const demo = demoCircuit({ together: [] });
  return { ...demo, run: demo.run.map((outlet, k) => ({ ...outlet, loads: byOutlet[k] ?? [] })) } as Circuit;
}

const load = (name: string, watts: number, more: Partial<LoadPatch> = {}): LoadPatch => ({
  ...{ name, watts, continuous: false, fastened: false },
  ...more,
});
const names = (set: { loads: readonly { load: { name: string } }[] }) => set.loads.map((p) => p.load.name);

describe('what a circuit carries', () => {
  test('is every largest set within the ratings and every smallest beyond them', () => {
    const circuit = withLoads([load('lamp', 24)], [load('kettle', 1200)], [load('heater', 1000)]);
    const { largest, tooMuch } = loadSets(circuit);
    expect(largest.map(names)).toEqual([
      ['lamp', 'kettle'],
      ['lamp', 'heater'],
    ]);
    expect(tooMuch.map(names)).toEqual([['kettle', 'heater']]);
    expect(loadSetText(circuit, tooMuch[0]!)).toBe('kettle and heater: 18.3 A, more than the breaker’s 15 A');
  });

  test('counts loads of three hours and more at 125 %', () => {
    const circuit = withLoads([], [load('warmer', 1450, { continuous: true })], []);
    expect(loadSets(circuit).tooMuch[0]!.over).toEqual([
      'for three hours and more they count as 15.1 A of 15 A',
      '12.1 A on the receptacle at nipping press, rear bulkhead, made for 12 A',
    ]);
  });

  test('keeps fastened loads to half of the breaker', () => {
    const circuit = withLoads([load('chiller', 950, { fastened: true })]);
    expect(loadSets(circuit).tooMuch[0]!.over).toEqual([
      'fastened loads of 7.9 A, more than half of the breaker',
    ]);
  });

  test('counts the smallest of more than eight loads as one', () => {
    const circuit = withLoads(Array.from({ length: 11 }, (_, k) => load(`tool ${k}`, 100 + k)));
    const { largest } = loadSets(circuit);
    expect(names(largest[0]!)).toHaveLength(11);
  });

  test('parts all sets: each is within a largest one or holds a smallest that is too much', () => {
    const anyLoad = fc.record({
      watts: fc.integer({ min: 20, max: 1500 }),
      continuous: fc.boolean(),
      fastened: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(fc.array(anyLoad, { maxLength: 3 }), { minLength: 3, maxLength: 3 }), (loads) => {
        const circuit = withLoads(
          ...loads.map((some, o) => some.map((l, k) => load(`load ${o}.${k}`, l.watts, l))),
        );
        fc.pre(loads.flat().length > 0 && loads.flat().length <= 8);
        const { largest, tooMuch } = loadSets(circuit);
        const all = circuit.run.flatMap((o) => o.loads.map((l) => l.name));
        for (let bits = 1; bits < 2 ** all.length; bits++) {
          const chosen = all.filter((_, k) => bits & (1 << k));
          const within = largest.some((set) => chosen.every((name) => names(set).includes(name)));
          const beyond = tooMuch.some((set) => names(set).every((name) => chosen.includes(name)));
          expect(within).toBe(!beyond);
        }
      }),
      { numRuns: 60 },
    );
  });
});

describe('the owner reads', () => {
  test('no set where no load is named', () => {
    expect(runTogetherLines(withLoads())).toEqual(['No load was named: the breaker is the only measure.']);
  });

  test('at most four lines of each kind, and how many are left out', () => {
    const heaters = [0, 1, 2].map((o) => [load(`heater ${o}a`, 900), load(`heater ${o}b`, 901)]);
    const lines = runTogetherLines(withLoads(...heaters));
    expect(lines.filter((line) => line.startsWith('May run together: '))).toHaveLength(4);
    expect(lines).toContain('May run together as well: 2 more sets like these');
  });
});
