import fc from 'fast-check';
import { expect, test } from 'vitest';
import { isVisible, shapesOf } from '../../src/drawing/scene.js';
import { sumAgainstLimit } from '../../src/drawing/sum-against-limit.js';
import { crowdedTexts, textsOf } from './scene-checks.js';

const limit = { label: '15 A, the breaker', value: 15 };
const of = (values: readonly number[], layout: 'wide' | 'narrow' = 'narrow') =>
  sumAgainstLimit({
    layout,
    title: 'Loads',
    unit: 'A',
    parts: values.map((value, k) => ({ label: `load ${k + 1}`, value })),
    limit,
  });

test('the words say every part, the sum, and whether it is past the limit', () => {
  expect(of([7.5, 0.2]).description).toBe(
    'load 1: 7.5 A. load 2: 0.2 A. Together 7.7 A, not past 15 A, the breaker.',
  );
  expect(of([15, 0.1]).description).toContain('past 15 A');
  expect(of([15, 0.1]).description).not.toContain('not past');
});

test('the bar reaches past the fence when, and only when, the sum is more than the limit', () => {
  const ends = (values: readonly number[]) => {
    const shapes = shapesOf(of(values)).filter((s) => isVisible(s));
    const fence = shapes.find((s) => s.kind === 'line' && s.look === 'defect heavy');
    const bars = shapes.flatMap((s) =>
      s.kind === 'rect' && s.y === 30 && s.look.endsWith('outlined') ? [s.x + s.width] : [],
    );
    return { bar: Math.max(0, ...bars), fence: fence?.kind === 'line' ? fence.x1 : Number.NaN };
  };
  for (const values of [[], [3], [7, 7.9], [15]])
    expect(ends(values).bar).toBeLessThanOrEqual(ends(values).fence + 1e-9);
  for (const values of [[15.1], [9, 9], [100]]) expect(ends(values).bar).toBeGreaterThan(ends(values).fence);
});

test('its words stay apart and inside whatever is summed, in both layouts', () => {
  const any = fc.array(fc.double({ min: 0, max: 60, noNaN: true }), { maxLength: 12 });
  fc.assert(
    fc.property(any, fc.constantFrom('wide' as const, 'narrow' as const), (values, layout) => {
      const scene = of(values, layout);
      expect(crowdedTexts(scene)).toEqual([]);
      expect(textsOf(scene).filter((t) => t.text.startsWith('load'))).toHaveLength(values.length);
    }),
    { numRuns: 60 },
  );
});
