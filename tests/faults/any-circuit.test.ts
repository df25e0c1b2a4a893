import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { catalogue } from '../../src/faults/catalogue.js';
import { diagnose } from '../../src/faults/diagnose.js';
import { faultText, lookAt } from '../../src/faults/fault-words.js';
import type { ElectricalCircuit } from '../../src/meter/electrical-circuit.js';
import { faultSchema } from '../../src/meter/fault.js';
import { predict } from '../../src/meter/predict.js';
import { parseReadingsFile, type Reading } from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { handheld } from '../meter/vans.js';

const wire = (sizes: number[], longest: number) =>
  fc.record({ awg: fc.constantFrom(...sizes), lengthM: fc.double({ min: 0.1, max: longest, noNaN: true }) });
const anyCircuit: fc.Arbitrary<ElectricalCircuit> = fc.record({
  supply: fc.record({
    volts: fc.constantFrom(115, 120, 230),
    loopOhms: fc.double({ min: 0, max: 0.5, noNaN: true }),
  }),
  cord: wire([10, 12, 14, 16], 15),
  inlet: fc.record({ amps: fc.constantFrom(15, 20, 30) }),
  breaker: fc.option(fc.record({ amps: fc.constantFrom(15, 20) })),
  bond: wire([8], 2),
  run: fc.array(
    fc.record({
      device: fc.constantFrom('gfci-receptacle' as const, 'receptacle' as const),
      feed: wire([10, 12, 14], 5),
    }),
    { minLength: 1, maxLength: 8 },
  ),
});

/** What a circuit shows at the whole round, rounded as a meter rounds. */
function roundOf(circuit: ElectricalCircuit, faults: Parameters<typeof predict>[2]): Reading[] {
  const tests = fullSchedule(circuit);
  return predict(circuit, handheld, faults, tests).flatMap((p, i): Reading[] => {
    const test = tests[i]!;
    if (p.kind === 'ohms')
      return [{ ...test, ohms: p.ohms === null ? null : Number(p.ohms.toFixed(1)) } as Reading];
    if (p.kind === 'volts') return [{ ...test, volts: Number(p.volts.toFixed(1)) } as Reading];
    return p.kind === 'answer' && p.answer !== null ? [{ ...test, answer: p.answer } as Reading] : [];
  });
}

describe('any circuit, wherever its devices stand', () => {
  it('is not failed when sound, and every reading of its round is one that the file takes', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        const file = {
          format: 'inlet-readings/1' as const,
          circuit,
          meter: handheld,
          readings: roundOf(circuit, []),
        };
        expect(parseReadingsFile(JSON.stringify(file))).toMatchObject({ ok: true });
        const answer = diagnose(file);
        expect(answer.suspects).toEqual([]);
        const failed = answer.limits.filter((l) => l.verdict === 'fail').map((l) => l.rule);
        // A long thin cord drops too much by itself, and an outlet ahead of the device stays alive after TEST.
        const byDesign =
          circuit.run[0]!.device === 'gfci-receptacle' ? ['drop'] : ['drop', 'ground-fault-device'];
        expect(failed.filter((rule) => !byDesign.includes(rule))).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  it('is never passed with a fault that its readings show, and every suspect is a fault of the language', () => {
    fc.assert(
      fc.property(anyCircuit, fc.nat(), (circuit, k) => {
        const faults = catalogue(circuit).map((c) => c.fault);
        const truth = faults[k % faults.length]!;
        const readings = roundOf(circuit, [truth]);
        const answer = diagnose({ format: 'inlet-readings/1', circuit, meter: handheld, readings });
        const same = JSON.stringify(readings) === JSON.stringify(roundOf(circuit, []));
        expect(answer.verdict === 'pass' && !same && answer.suspects.length > 0).toBe(false);
        for (const s of answer.suspects) {
          expect(s.faults.every((f) => faultSchema.safeParse(f).success)).toBe(true);
          expect(s.text + s.lookAt).not.toMatch(/undefined|NaN/);
        }
        const sum = answer.suspects.reduce((total, s) => total + s.probability, 0);
        expect(sum).toBeLessThanOrEqual(1 + 1e-9);
      }),
      { numRuns: 60 },
    );
  });

  it('has words and a place to look for every fault of its catalogue', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        for (const { fault } of catalogue(circuit)) {
          expect(faultSchema.parse(fault)).toEqual(fault);
          expect(faultText(fault, circuit)).toMatch(/^[A-Z].{10,}/);
          expect(lookAt(fault, circuit)).toMatch(/^(?:Look|Touch).*\.$/);
        }
      }),
      { numRuns: 10 },
    );
  });
});
