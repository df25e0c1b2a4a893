import fc from 'fast-check';
import { expect, test } from 'vitest';
import { circuitFields } from '../circuit/circuit-fields.js';
import { anyCircuit } from './random-circuit.js';

// What never varies here is never asked of the steps: one that a new field alone calls for would go without minutes and rules.
test('every field of a circuit that is a choice or a tick is more than one thing among those that are drawn', () => {
  const drawn = fc.sample(anyCircuit, { numRuns: 400, seed: 20261128 });
  const valuesAt = (path: string) =>
    new Set(drawn.map((circuit) => path.split('.').reduce<unknown>((at, key) => Object(at)[key], circuit)));
  const chosen = circuitFields.filter(
    ({ schema }) => schema.type === 'boolean' || (schema.enum ?? schema.anyOf ?? []).length > 1,
  );
  expect(chosen.map(({ path }) => path).filter((path) => valuesAt(path).size < 2)).toEqual([]);
});
