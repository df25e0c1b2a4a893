import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { catalogue } from '../../src/faults/catalogue.js';
import { diagnose } from '../../src/faults/diagnose.js';
import { Evidence } from '../../src/faults/evidence.js';
import type { Fault } from '../../src/meter/fault.js';
import { predict } from '../../src/meter/predict.js';
import {
  parseReadingsFile,
  type Reading,
  type ReadingsFile,
  type Test,
} from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { handheld, van } from '../meter/vans.js';

const files = ['002', '004', '007', '011', '013', '015'].map((number): ReadingsFile => {
  const parsed = parseReadingsFile(
    readFileSync(new URL(`cases/case-${number}.json`, import.meta.url), 'utf8'),
  );
  if (!parsed.ok) throw new Error(number);
  return parsed.file;
});
const circuit = van(3);
const tests = fullSchedule(circuit);
const faults = catalogue(circuit).map((c) => c.fault);
const anyFault = fc.constantFrom(...faults);
const anyFaults = fc.uniqueArray(anyFault, { maxLength: 2, selector: (f) => JSON.stringify(f) });

describe('the weighing of readings', () => {
  it('does not hang on their order', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...files),
        fc.infiniteStream(fc.double({ min: 0, max: 1, noNaN: true })),
        (file, keys) => {
          const shuffled = file.readings
            .map((reading) => ({ reading, key: keys.next().value as number }))
            .sort((a, b) => a.key - b.key)
            .map(({ reading }) => reading);
          expect(diagnose({ ...file, readings: shuffled })).toEqual(diagnose(file));
        },
      ),
      { numRuns: 12 },
    );
  });

  it('counts an exact duplicate once', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...files),
        fc.array(fc.nat({ max: 20 }), { minLength: 1, maxLength: 6 }),
        (file, again) => {
          const readings = [...file.readings, ...again.map((i) => ({ ...file.readings[i]! }))];
          expect(diagnose({ ...file, readings })).toEqual(diagnose(file));
        },
      ),
      { numRuns: 12 },
    );
  });

  it('never lowers a suspect by a reading that shows what it predicts, against what predicts otherwise', () => {
    fc.assert(
      fc.property(
        anyFaults,
        fc.option(anyFault, { nil: undefined }),
        fc.subarray([...tests.keys()]),
        fc.nat({ max: tests.length - 1 }),
        (suspect, other, taken, k) => {
          const before = taken.flatMap((i) => (i === k ? [] : shownAs(suspect, tests[i]!)));
          const added = shownAs(suspect, tests[k]!);
          const gain = (set: readonly Fault[]) => weigh([...before, ...added], set) - weigh(before, set);
          expect(gain(suspect)).toBeCloseTo(0, 9);
          expect(gain(other === undefined ? [] : [other])).toBeLessThan(1e-9);
        },
      ),
      { numRuns: 300 },
    );
  });

  // 8 A through 1 Ω more take 8 V of 120: far from the 85 V at which a device falls.
  it('makes no joint likelier by a device that holds under the load, since it holds without one too', () => {
    const before = tests.flatMap((test) => (test.test === 'resistance' ? shownAs([], test) : []));
    const holds: Reading = {
      test: 'observation',
      what: 'holds-under-load',
      at: 'outlet3',
      amps: 8,
      answer: true,
    };
    const joint: Fault = { fault: 'high-resistance', conductor: 'hot', where: 'feed2', ohms: 1 };
    expect(weigh([...before, holds], [joint])).toBeCloseTo(weigh(before, [joint]), 9);
  });

  it('lets a ghost lower no suspect, whatever it shows up to most of the supply’s volts', () => {
    fc.assert(
      fc.property(
        anyFaults,
        fc.nat({ max: tests.length - 1 }),
        fc.double({ min: 0, max: 113, noNaN: true }),
        (set, k, volts) => {
          const test = tests[k]!;
          const [prediction] = predict(circuit, handheld, set, [test]);
          fc.pre(prediction!.kind === 'volts' && prediction!.floating);
          const ghost = { ...test, volts } as Reading;
          expect(new Evidence(circuit, handheld, [ghost]).logLikelihood(set)).toBe(0);
        },
      ),
      { numRuns: 300, maxSkipsPerRun: 400 },
    );
  });

  it('gives a suspect’s own exact readings the best likelihood that there is', () => {
    fc.assert(
      fc.property(anyFaults, (set) => {
        const readings = tests.flatMap((test) => shownAs(set, test));
        expect(new Evidence(circuit, handheld, readings).logLikelihood(set)).toBeCloseTo(0, 9);
      }),
    );
  });
});

function weigh(readings: Reading[], set: readonly Fault[]): number {
  return new Evidence(circuit, handheld, readings).logLikelihood(set);
}

/** The reading that a test would show with these faults, exactly; none where it floats or cannot be said. */
function shownAs(set: readonly Fault[], test: Test): Reading[] {
  const [p] = predict(circuit, handheld, set, [test]);
  if (p!.kind === 'ohms') return [{ ...test, ohms: p!.ohms } as Reading];
  if (p!.kind === 'volts') return p!.floating ? [] : [{ ...test, volts: p!.volts } as Reading];
  if (p!.kind === 'lamps') return [{ ...test, lamps: p!.lamps } as Reading];
  return p!.answer === null ? [] : [{ ...test, answer: p!.answer } as Reading];
}
