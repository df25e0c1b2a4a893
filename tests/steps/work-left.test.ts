import fc from 'fast-check';
import { expect, test } from 'vitest';
import { minutesOfSteps } from '../../src/steps/content/minutes.js';
import { stepsOf } from '../../src/steps/steps-of.js';
import { aboutHowLong, minutesOf, workLeft } from '../../src/steps/work-left.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { jobOf, played } from './played.js';
import { anyCircuit } from './random-circuit.js';

test('every step that any circuit calls for has its minutes, and no minutes stand for nothing', () => {
  const used = new Set<string>();
  fc.assert(
    fc.property(anyCircuit, (circuit) => {
      for (const { id } of stepsOf(circuit)) {
        expect(minutesOf(id)).toBeGreaterThan(0);
        used.add(id.split('.')[0] as string);
      }
    }),
    { numRuns: 300 },
  );
  expect(Object.keys(minutesOfSteps).filter((id) => !used.has(id))).toEqual([]);
});

test.each([
  [3, 'about 5 min'],
  [14, 'about 15 min'],
  [43, 'about 40 min'],
  [60, 'about 1 h'],
  [85, 'about 1½ h'],
  [190, 'about 3 h'],
  [1000, 'about 2 days of 8 h'],
  [1230, 'about 2½ days of 8 h'],
])('%s minutes are said as %s', (minutes, said) => {
  expect(aboutHowLong(minutes)).toBe(said);
});

test('what is left shrinks with every step, and nothing is left of a job whose steps are done', () => {
  const counts = ['ground-path', 'trim-on-repeat'].map((id) => {
    const { all, stage } = workLeft(
      jobOf(played(demoCircuit(), { until: (job) => job.next?.step.id === id })),
    );
    expect(stage.steps).toBeLessThanOrEqual(all.steps);
    expect(stage.minutes).toBeLessThanOrEqual(all.minutes);
    return all;
  });
  const [early, late] = counts as [(typeof counts)[0], (typeof counts)[0]];
  expect(late.steps).toBeLessThan(early.steps);
  expect(late.readings).toBeLessThan(early.readings);
  expect(late.minutes).toBeLessThan(early.minutes);
  expect(early.of).toBe(late.of);
});
