import { expect, test } from 'vitest';
import { awgAreaMm2, awgDiameterMm, copperOhmPerM, wireSizes } from '../../src/trade/wire.js';
import tableEight from './vectors/conductor-resistance.json' with { type: 'json' };
import geometry from './vectors/wire-geometry.json' with { type: 'json' };

const kiloFeetM = 304.8;

/** Half of the last digit that a printed figure shows. */
function halfLastDigit(printed: number): number {
  const decimals = String(printed).split('.')[1]?.length ?? 0;
  return 0.5 * 10 ** -decimals;
}

// ASTM B258: diameters and areas; IEC 60028: 100 % IACS.
test.each(geometry.rows)(
  '$awg AWG has the diameter, area and resistance of ASTM B258 and IEC 60028',
  (row) => {
    expect(Math.abs(awgDiameterMm(row.awg) - row.diameterMm)).toBeLessThan(0.00051);
    expect(Math.abs(awgAreaMm2(row.awg) / row.areaMm2 - 1)).toBeLessThan(0.0005);
    expect(Math.abs(copperOhmPerM(row.awg) * kiloFeetM - row.ohmPerKft20)).toBeLessThan(0.00051);
    expect(Math.abs(copperOhmPerM(row.awg) * 1000 - row.milliohmPerM20)).toBeLessThan(0.0051);
  },
);

// NEC Chapter 9 Table 8, uncoated (seen in an authoritative copy), against the computation of ASTM B258 and IEC 60028.
test.each(tableEight.rows.filter((row) => row.solid !== null && row.awg !== 16))(
  'Table 8 solid $awg AWG is the computed resistance at 75 °C to half of its last digit',
  (row) => {
    const computed = copperOhmPerM(row.awg, 75) * kiloFeetM;
    expect(Math.abs(computed - row.solid!)).toBeLessThanOrEqual(halfLastDigit(row.solid!));
  },
);

test('Table 8 solid 16 AWG is within one of its last digit', () => {
  const row = tableEight.rows.find((r) => r.awg === 16)!;
  expect(Math.abs(copperOhmPerM(16, 75) * kiloFeetM - row.solid!)).toBeLessThanOrEqual(0.01);
});

test.each(tableEight.rows)('Table 8 stranded $awg AWG is the solid one with 2 % for the lay', (row) => {
  const computed = copperOhmPerM(row.awg, 75) * kiloFeetM * 1.02;
  expect(Math.abs(computed / row.stranded - 1)).toBeLessThan(0.005);
});

// A published remark on Table 8: a reading at 20 °C is about 82 % of the printed figure.
test.each(wireSizes)('%i AWG at 20 °C reads 82 % of its resistance at 75 °C', (awg) => {
  expect(copperOhmPerM(awg, 20) / copperOhmPerM(awg, 75)).toBeCloseTo(0.822, 3);
});
