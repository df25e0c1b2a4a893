import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import { cannotPart, leadingGroup, sameFaults } from '../faults/same-faults.js';
import { makeCases } from '../outside/ngspice/make-cases.js';

/** The same as the short check on fresh cases, on ten times as many. */
const seeds = (first: number, count: number) => Array.from({ length: count }, (_, i) => first + i);

describe('3 000 cases made with ngspice', () => {
  it('have one fault in the leading group in at least 99 of 100, and the group at most two long on the average', () => {
    let total = 0;
    let found = 0;
    let length = 0;
    for (const made of makeCases(seeds(200_000, 2000), 1)) {
      const answer = diagnose(made.file);
      if (answer.suspects.length === 0 && cannotPart(made.file, made.truth, [])) continue;
      const group = leadingGroup(answer);
      total++;
      length += group.length;
      if (group.some((s) => sameFaults(s.faults, made.truth))) found++;
      expect(answer.verdict).not.toBe('pass');
    }
    expect(found / total).toBeGreaterThanOrEqual(0.99);
    expect(length / total).toBeLessThanOrEqual(2);
  });

  it('have two faults, or what the readings cannot part from them, in at least 95 of 100', () => {
    let found = 0;
    const cases = makeCases(seeds(300_000, 1000), 2);
    for (const made of cases) {
      const answer = diagnose(made.file);
      const group = leadingGroup(answer);
      const right = group.some(
        (s) => sameFaults(s.faults, made.truth) || cannotPart(made.file, s.faults, made.truth),
      );
      if (right || (answer.suspects.length === 0 && cannotPart(made.file, made.truth, []))) found++;
    }
    expect(found / cases.length).toBeGreaterThanOrEqual(0.95);
  });
});
