import { expect, test } from 'vitest';
import { conductorOhm, terminationsOhm } from '../../src/circuit/conductor.js';
import { loopOhm } from '../../src/circuit/loop-share.js';
import tableEight from './vectors/conductor-resistance.json' with { type: 'json' };
import examples from './vectors/voltage-drop-examples.json' with { type: 'json' };

// Published examples: one way in feet, hot and neutral, copper at 75 °C, no terminations.
test.each(examples.rows)('$amps A over $feet ft of $awg AWG drops $volts V ($grade)', (row) => {
  const oneWay = conductorOhm({ awg: row.awg, lengthM: row.feet * 0.3048, temperatureC: 75 });
  const volts = 2 * row.amps * (oneWay - terminationsOhm);
  expect(Math.abs(volts / row.volts - 1)).toBeLessThan(0.02);
  expect(Math.abs((100 * volts) / 120 - (row.percent ?? (100 * row.volts) / 120))).toBeLessThan(0.06);
});

test.each(examples.rows.filter((row) => row.grade !== 'A, K = 12.9 over 6530 circular mils'))(
  'Table 8 gives $volts V for $amps A over $feet ft of $awg AWG',
  (row) => {
    const { stranded } = tableEight.rows.find(({ awg }) => awg === row.awg)!;
    const volts = (2 * row.feet * row.amps * stranded) / 1000;
    expect(Math.abs(volts - row.volts)).toBeLessThan(row.volts === 3.1 ? 0.05 : 0.006);
  },
);

// Worked from the resistances of Table 8 with an assumed 0.25 Ω of source: short-circuit currents at 20 °C.
test.each([
  { feet: 50, awg: 14, amps: 236 },
  { feet: 100, awg: 14, amps: 157 },
  { feet: 50, awg: 12, amps: 291 },
  { feet: 50, awg: 16, amps: 182 },
])('a short at the end of $feet ft of $awg AWG draws $amps A', ({ feet, awg, amps }) => {
  const cordOhm = 2 * (conductorOhm({ awg, lengthM: feet * 0.3048 }) - terminationsOhm);
  const current = 120 / loopOhm({ supplyOhm: 0.25, cordOhm, vanOhm: 0 });
  expect(Math.abs(current / amps - 1)).toBeLessThan(0.01);
});
