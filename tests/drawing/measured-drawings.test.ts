import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bodyPlacement } from '../../src/drawing/body-placement.js';
import { linearTicks } from '../../src/drawing/linear-ticks.js';
import { readingsAgainstLimits } from '../../src/drawing/readings-against-limits.js';
import { type Circle, shapesOf } from '../../src/drawing/scene.js';
import { voltageProfile } from '../../src/drawing/voltage-profile.js';
import { ohmRows, profilePoints, voltRows } from './every-scene.js';
import { crowdedTexts, textsOf } from './scene-checks.js';

const layouts = ['wide', 'narrow'] as const;
const limits = [{ label: '5 % under 120 V', volts: 114 }];

describe('the voltage along the run', () => {
  test.each(layouts)('has a mark for every point, lower where the volts are lower, %s', (layout) => {
    const points = profilePoints(8);
    const marks = shapesOf(voltageProfile({ layout, points, limits, load: '12 A' })).filter(
      (s): s is Circle => s.kind === 'circle' && s.look === 'accent boxed',
    );
    expect(marks).toHaveLength(points.length);
    for (let i = 1; i < marks.length; i += 1) {
      expect(marks[i]!.y).toBeGreaterThan(marks[i - 1]!.y);
      expect(marks[i]!.x).toBeGreaterThan(marks[i - 1]!.x);
    }
  });

  test('says every point, every limit and the load in words', () => {
    const points = profilePoints(4);
    const { description } = voltageProfile({
      layout: 'wide',
      points,
      limits,
      load: '12 A at the last outlet',
    });
    for (const p of points) expect(description).toContain(`${p.label}, `);
    expect(description).toContain('115.5 V');
    expect(description).toContain('5 % under 120 V: 114 V.');
    expect(description).toContain('at 12 A at the last outlet');
  });

  test('keeps its words apart for one to eight outlets at any length', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 8 }),
        fc.array(fc.double({ min: 0.05, max: 12, noNaN: true }), { minLength: 8, maxLength: 8 }),
        fc.double({ min: 0, max: 2, noNaN: true }),
        (count, lengths, dropV) => {
          let distanceM = 7.6;
          const run = profilePoints(count)
            .slice(2)
            .map((p, k) => {
              distanceM += lengths[k]!;
              return { ...p, distanceM, volts: 117.1 - dropV * (k + 1) };
            });
          const points = [...profilePoints(count).slice(0, 2), ...run];
          for (const layout of layouts)
            expect(
              crowdedTexts(voltageProfile({ layout, points, limits, load: '12 A at the last outlet' })),
            ).toEqual([]);
        },
      ),
    );
  });

  test('refuses to be drawn of nothing', () => {
    expect(() => voltageProfile({ layout: 'wide', points: [], limits, load: '' })).toThrow(RangeError);
  });
});

describe('readings against their limits', () => {
  test.each(layouts)('show over-limit as an arrow and never as a value, %s', (layout) => {
    const row = ohmRows[2]!;
    const scene = readingsAgainstLimits({ layout, quantity: 'ohms', rows: [row] });
    expect(textsOf(scene).some((t) => t.text === 'OL, over 40 MΩ, pass')).toBe(true);
    const known = readingsAgainstLimits({ layout, quantity: 'ohms', rows: [{ ...row, value: 2e6 }] });
    const values = (s: typeof scene) =>
      shapesOf(s).filter((x) => x.kind === 'rect' && x.look === 'ink filled').length;
    expect(values(known) - values(scene)).toBe(1);
  });

  test('say value, uncertainty, expected, limit and verdict in words', () => {
    const { description } = readingsAgainstLimits({ layout: 'wide', quantity: 'ohms', rows: ohmRows });
    expect(description).toContain(
      'G1 inlet ground to outlet 1: 0.1 ± 0.2 Ω, expected 0.02 Ω, limit at most 1 Ω, pass.',
    );
    expect(description).toContain(
      'I2 neutral to ground: OL, over 400 kΩ, expected OL, limit at least 1 MΩ, unproven.',
    );
    expect(description).toContain('I3 hot to neutral: 470 ± 6 kΩ, limit at least 1 MΩ, fail.');
  });

  test('put a value on the right side of its limit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 1e8, noNaN: true }), (value) => {
        const rows = [{ label: 'x', value, uncertainty: 0, upper: 1, verdict: 'pass' as const }];
        const shapes = shapesOf(readingsAgainstLimits({ layout: 'wide', quantity: 'ohms', rows }));
        const mark = shapes.find((s) => s.kind === 'rect' && s.look === 'ink filled');
        const fence = shapes.find((s) => s.kind === 'line' && s.look === 'defect tick');
        if (mark?.kind !== 'rect' || fence?.kind !== 'line') throw new Error('nothing drawn');
        const aside = mark.x + 2 - fence.x1;
        if (value > 1.1) expect(aside).toBeGreaterThan(0);
        if (value < 0.9) expect(aside).toBeLessThan(0);
      }),
    );
  });

  test('draw zero ohms, zero volts and no rows without fault', () => {
    const zero = { label: 'x', value: 0, uncertainty: 0.2, upper: 1, verdict: 'pass' as const };
    for (const layout of layouts)
      for (const quantity of ['ohms', 'volts'] as const)
        for (const rows of [[], [zero], [{ ...zero, upper: undefined }]])
          expect(crowdedTexts(readingsAgainstLimits({ layout, quantity, rows }))).toEqual([]);
    expect(
      crowdedTexts(readingsAgainstLimits({ layout: 'narrow', quantity: 'volts', rows: voltRows })),
    ).toEqual([]);
  });
});

describe('where the inlet sits', () => {
  test('keeps its words apart and inside wherever the inlet is', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('left', 'right', 'rear-left', 'rear', 'front'),
        fc.double({ min: 0, max: 15, noNaN: true }),
        fc.double({ min: 0, max: 4, noNaN: true }),
        fc.constantFrom('m', 'ft'),
        (side, fromRearM, heightM, lengthUnit) => {
          const scene = bodyPlacement({ inlet: { side, fromRearM, heightM }, lengthUnit });
          expect(crowdedTexts(scene)).toEqual([]);
          expect(scene.description).toContain('above the ground');
        },
      ),
    );
  });
});

test('round steps of an axis stay inside it, evenly', () => {
  fc.assert(
    fc.property(fc.integer({ min: -500, max: 500 }), fc.integer({ min: 1, max: 400 }), (low, span) => {
      const ticks = linearTicks(low, low + span, 6);
      expect(ticks.length).toBeGreaterThan(0);
      for (const t of ticks) expect(t >= low - 1e-9 && t <= low + span + 1e-9).toBe(true);
    }),
  );
});
