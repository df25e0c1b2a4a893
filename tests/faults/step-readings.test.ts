import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeRules } from '../../src/faults/rules.js';
import { stepReadings } from '../../src/faults/step-readings.js';
import { Taken } from '../../src/faults/taken.js';
import type { Fault } from '../../src/meter/fault.js';
import type { Reading } from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { handheld, van } from '../meter/vans.js';
import { shownBy } from './shown-by.js';

const circuit = van(3);
/** A low-ohm meter, so that little is left open. */
const meter = { ...handheld, ohms: { percent: 0.2, counts: 1, resolution: 0.01, overLimit: 4e7 } };
const verdictOf = (reading: Reading) =>
  stepReadings({ format: 'inlet-readings/1', circuit, meter, readings: [reading] })[0]?.verdict;
const ohms = (from: string, to: string, value: number | null): Reading => ({
  test: 'resistance',
  from,
  to,
  ohms: value,
});
const volts = (from: string, to: string, value: number): Reading => ({
  test: 'voltage',
  from,
  to,
  volts: value,
});

const lamps = (hotNeutral: boolean, hotGround: boolean, neutralGround: boolean): Reading => ({
  ...{ test: 'observation', what: 'three-lamp', at: 'outlet1' },
  lamps: { hotNeutral, hotGround, neutralGround },
});

describe('one reading beside what a sound circuit shows', () => {
  it('fails between hot and neutral of a van without a device, where no electronics lie', () => {
    const [first, ...behind] = circuit.run;
    const plain = { ...circuit, run: [{ ...first!, device: 'receptacle' as const }, ...behind] };
    const readings = [ohms('inlet.hot', 'inlet.neutral', 30_000)];
    const [step] = stepReadings({ format: 'inlet-readings/1', circuit: plain, meter, readings });
    expect(step?.verdict).toBe('fail');
  });

  it.each<[string, Reading, string]>([
    [
      'a ground of the rule’s 1 Ω, whatever is expected of it',
      ohms('inlet.ground', 'outlet3.ground', 1.02),
      'fail',
    ],
    ['a ground within it', ohms('outlet3.ground', 'inlet.ground', 0.9), 'pass'],
    ['a bond of more than 1 Ω', ohms('inlet.ground', 'chassis', 1.02), 'fail'],
    ['a pole that is hardly through', ohms('inlet.hot', 'outlet1.line.hot', 5), 'fail'],
    [
      'a conductor of the cord that is through, poor as its joint may be',
      ohms('plug.hot', 'connector.hot', 5),
      'pass',
    ],
    ['what a device’s electronics may show', ohms('inlet.hot', 'inlet.neutral', 30_000), 'unproven'],
    ['the same at its LOAD', ohms('outlet1.load.neutral', 'outlet1.load.hot', 30_000), 'unproven'],
    ['a short, which no electronics show', ohms('inlet.hot', 'inlet.neutral', 3), 'fail'],
    ['the same ohms to ground', ohms('inlet.hot', 'inlet.ground', 30_000), 'fail'],
    ['the same ohms in the cord', ohms('plug.hot', 'plug.neutral', 30_000), 'fail'],
    ['240 V in a slot', volts('outlet1.hot', 'outlet1.neutral', 240), 'fail'],
    ['the supply’s volts in a slot', volts('outlet1.hot', 'outlet1.neutral', 120), 'pass'],
    ['a live skin, though an open bond would let it float', volts('chassis', 'earth', 60), 'fail'],
    ['a skin at rest', volts('chassis', 'earth', 0), 'pass'],
    ['a skin of 7 V by itself, which may float', volts('chassis', 'earth', 7), 'unproven'],
    ['a skin of 12 V', volts('chassis', 'earth', 12), 'fail'],
    [
      'a slot of 111 V under a load',
      { ...volts('outlet1.hot', 'outlet1.neutral', 111), test: 'loaded-voltage', amps: 8 } as Reading,
      'fail',
    ],
    ['a neutral that floats over its ground', volts('outlet1.neutral', 'outlet1.ground', 55), 'fail'],
    ['lamps as a sound outlet lights them, which prove nothing', lamps(true, true, false), 'unproven'],
    ['lamps that no sound outlet lights', lamps(true, false, false), 'fail'],
  ])('%s', (_what, reading, verdict) => {
    expect(verdictOf(reading)).toBe(verdict);
  });

  it.each([
    [240, 'fail'],
    [120, 'unproven'],
    [60, 'unproven'],
  ])('that floats at a slot and shows %i V: %s', (value, verdict) => {
    const open: Fault = { fault: 'open', conductor: 'neutral', where: 'feed3' };
    const file = shownBy([open], { circuit });
    const at = file.readings.findIndex(
      (r) => r.test === 'voltage' && r.from === 'outlet3.hot' && r.to === 'outlet3.neutral',
    );
    const readings = file.readings.map((r, i) => (i === at ? ({ ...r, volts: value } as Reading) : r));
    const slot = stepReadings({ ...file, readings })[at];
    expect(slot?.verdict).toBe(verdict);
  });

  it('fails wherever it breaks a rule all alone', () => {
    const measured = fullSchedule(circuit).flatMap((test) => (test.test === 'observation' ? [] : [test]));
    const shown = fc.oneof(
      fc.double({ min: 0, max: 150, noNaN: true }),
      fc.constantFrom(240, 2000, 3e4, 9e5),
    );
    fc.assert(
      fc.property(fc.constantFrom(...measured), shown, (test, value) => {
        const reading: Reading =
          test.test === 'resistance' ? { ...test, ohms: value } : { ...test, volts: value };
        const taken = new Taken([reading], meter);
        const broken = judgeRules({ circuit, taken, mayFloat: () => false }).some(
          (l) => l.verdict === 'fail',
        );
        expect(broken && verdictOf(reading) !== 'fail').toBe(false);
      }),
      { numRuns: 60 },
    );
  });
});
