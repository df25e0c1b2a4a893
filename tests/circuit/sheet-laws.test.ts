import fc from 'fast-check';
import { expect, test } from 'vitest';
import { boxFill } from '../../src/circuit/box-fill.js';
import { bondOhm, conductorOhm } from '../../src/circuit/conductor.js';
import { loopOhm, loopShare, testDay } from '../../src/circuit/loop-share.js';
import { inSi, inUnit, parseDecimal, quantities } from '../../src/circuit/units.js';
import { ambientFactor } from '../../src/trade/ambient-correction.js';
import { demoCircuit, demoLine } from './demo-circuit.js';

const awg = fc.constantFrom(14, 12, 10, 8, 6);
const lengthM = fc.double({ min: 0.05, max: 30, noNaN: true });

const percent = (patch: Record<string, unknown>, id = 'drop.total.locker') =>
  demoLine(id, patch).figures!.percent!;

test('a longer length never lowers the drop at any outlet behind it', () => {
  fc.assert(
    fc.property(
      lengthM,
      lengthM,
      fc.constantFrom('cord.lengthM', 'run.0.feed.lengthM', 'run.2.feed.lengthM'),
      (a, b, path) => {
        const [short, long] = a < b ? [a, b] : [b, a];
        const at = (value: number) => percent({ [path]: path === 'cord.lengthM' ? value + 0.3 : value });
        expect(at(long)).toBeGreaterThanOrEqual(at(short));
      },
    ),
  );
});

test('a cable to the breaker of its own adds its own share to every drop, and nothing else', () => {
  fc.assert(
    fc.property(awg, lengthM, (gauge, metres) => {
      const inletWire = { awg: gauge, lengthM: Math.min(metres, 10), outsideDiameterMm: 14 };
      const [without, withIt] = [demoCircuit(), demoCircuit({ inletWire })];
      const own = 2 * conductorOhm({ ...inletWire, temperatureC: testDay.cableC });
      for (const k of without.run.keys())
        expect(loopOhm(loopShare(withIt, k, testDay)) - loopOhm(loopShare(without, k, testDay))).toBeCloseTo(
          own,
          9,
        );
    }),
  );
});

test('a thinner wire never lowers the drop', () => {
  fc.assert(
    fc.property(awg, awg, fc.constantFrom('cord.awg', 'run.1.feed.awg'), (a, b, path) => {
      const [thick, thin] = a < b ? [a, b] : [b, a];
      expect(percent({ [path]: thin })).toBeGreaterThanOrEqual(percent({ [path]: thick }));
    }),
  );
});

test('the drop never falls along the run, and its three shares are the whole', () => {
  fc.assert(
    fc.property(lengthM, awg, fc.double({ min: 0, max: 2, noNaN: true }), (length, size, loopOhms) => {
      const patch = { 'run.*.feed.lengthM': length, 'run.*.feed.awg': size, 'supply.loopOhms': loopOhms };
      const drops = ['bench', 'press', 'locker'].map((id) => demoLine(`drop.total.${id}`, patch).figures!);
      expect(drops[1]!.volts!).toBeGreaterThan(drops[0]!.volts!);
      expect(drops[2]!.volts!).toBeGreaterThan(drops[1]!.volts!);
      for (const d of drops) expect(d.supplyVolts! + d.cordVolts! + d.vanVolts!).toBeCloseTo(d.volts!, 9);
    }),
  );
});

test('a hotter place never raises what a cable carries, nor lowers its drop', () => {
  fc.assert(
    fc.property(fc.integer({ min: -20, max: 55 }), fc.integer({ min: -20, max: 55 }), (a, b) => {
      const [cool, hot] = a < b ? [a, b] : [b, a];
      const amps = (c: number) =>
        demoLine('cable.ampacity.bench', { 'cable.hottestPlaceC': c }).figures!.amps!;
      expect(amps(hot)).toBeLessThanOrEqual(amps(cool));
      expect(percent({ 'cable.hottestPlaceC': hot })).toBeGreaterThanOrEqual(
        percent({ 'cable.hottestPlaceC': cool }),
      );
    }),
  );
});

test('the fault current falls as the loop grows', () => {
  fc.assert(
    fc.property(lengthM, lengthM, (a, b) => {
      const [short, long] = a < b ? [a, b] : [b, a];
      const amps = (m: number) => demoLine('fault.last', { 'run.0.feed.lengthM': m }).figures!.amps!;
      expect(amps(long)).toBeLessThanOrEqual(amps(short));
    }),
  );
});

test('one more conductor never lowers the fill, and the order of conductors does not matter', () => {
  const sizes = fc.array(fc.constantFrom(18, 16, 14, 12, 10, 8, 6), { minLength: 1, maxLength: 12 });
  fc.assert(
    fc.property(sizes, sizes, fc.boolean(), (conductors, grounds, internalClamps) => {
      const fill = (list: readonly number[]) =>
        boxFill({ conductors: list, grounds, devices: [12], internalClamps })!.cubicInches;
      expect(fill([...conductors, 14])).toBeGreaterThan(fill(conductors));
      expect(fill([...conductors].reverse())).toBeCloseTo(fill(conductors), 9);
    }),
  );
});

test('a box with a size that the table lacks has no fill', () => {
  expect(boxFill({ conductors: [22], grounds: [], devices: [], internalClamps: false })).toBeUndefined();
});

test('resistance is proportional to length beyond the terminations, which the bond has larger', () => {
  fc.assert(
    fc.property(awg, lengthM, (size, length) => {
      const ohm = conductorOhm({ awg: size, lengthM: length }) - 0.004;
      expect(conductorOhm({ awg: size, lengthM: 2 * length }) - 0.004).toBeCloseTo(2 * ohm, 12);
      expect(bondOhm({ awg: size, lengthM: length })).toBeCloseTo(ohm + 0.005, 12);
    }),
  );
});

// Worked by hand: 12 AWG feeds of 3, 2 and 2 m, 7.6 m of 12 AWG cord, 0.3 Ω of supply, 20 °C.
test.each([
  { awg: 12, amps: 8, volts: 3.9 },
  { awg: 12, amps: 12, volts: 5.9 },
  { awg: 14, amps: 12, volts: 6.4 },
])(
  '$amps A at the last outlet of a van in $awg AWG drops $volts V at 20 °C',
  ({ awg: size, amps, volts }) => {
    const circuit = demoCircuit({ 'run.*.feed.awg': size });
    expect(Math.abs(amps * loopOhm(loopShare(circuit, 2, testDay)) - volts)).toBeLessThan(0.07);
  },
);

test('every unit goes to SI and back to the figure that was written', () => {
  const pairs = Object.entries(quantities).flatMap(([q, units]) =>
    Object.keys(units).map((u) => [q, u] as const),
  );
  fc.assert(
    fc.property(fc.constantFrom(...pairs), fc.integer({ min: 1, max: 99_999 }), ([quantity, unit], n) => {
      const typed = n / 100;
      const si = inSi(quantity as 'length', typed, unit)!;
      expect(parseDecimal(inUnit(quantity as 'length', si, unit, 2).split(' ')[0]!)).toBeCloseTo(typed, 9);
    }),
  );
});

test('heat never raises a factor', () => {
  fc.assert(
    fc.property(fc.integer({ min: -20, max: 70 }), fc.constantFrom(60, 75, 90), (c, rated) => {
      const [here, hotter] = [ambientFactor(c, rated), ambientFactor(c + 5, rated)];
      expect(hotter === undefined || hotter <= here!).toBe(true);
    }),
  );
});

test('a drop that misses its limit never reads as one that meets it', () => {
  fc.assert(
    fc.property(fc.double({ min: 2, max: 14, noNaN: true }), (length) => {
      const line = demoLine('drop.van.locker', { 'cord.lengthM': length, 'run.*.feed.awg': 14 });
      const shown = Number.parseFloat(line.value);
      if (line.verdict === 'fail') expect(shown).toBeGreaterThan(3);
      else expect(shown).toBeLessThanOrEqual(3);
    }),
  );
});
