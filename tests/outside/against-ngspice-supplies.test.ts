import { beforeAll, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import type { Fault } from '../../src/meter/fault.js';
import type { ReadingsFile } from '../../src/meter/readings-file.js';
import { cannotPart, leadingGroup, sameFaults } from '../faults/same-faults.js';
import { van } from '../meter/vans.js';
import { makeCase } from './ngspice/make-cases.js';

/**
 * Joins that draw amps, on supplies that the circuit file knows nothing of: stiff and high, weak and low. Measured by ngspice, and
 * read as any van is, with the nominal supply in the file.
 */
const supplies = [
  { volts: 126, loopOhms: 0.08 },
  { volts: 108, loopOhms: 0.8 },
];
const joined = (conductors: readonly ['hot', 'neutral' | 'ground'], where: 'inlet' | 'outlet1' | 'outlet2') =>
  [0.3, 0.6, 1, 2.7, 6].map((ohms): Fault => ({ fault: 'joined', conductors: [...conductors], where, ohms }));
let cases: { file: ReadingsFile; truth: readonly Fault[] }[];

beforeAll(() => {
  const faults = (['inlet', 'outlet1', 'outlet2'] as const).flatMap((where) => [
    ...joined(['hot', 'neutral'], where),
    ...joined(['hot', 'ground'], where),
  ]);
  cases = supplies.flatMap((supply) =>
    faults.map((fault, k) => {
      const { file, truth } = makeCase({ ...van(3), supply }, [fault], k + 1);
      return { truth, file: { ...file, circuit: van(3) } };
    }),
  );
}, 240_000);

it('60 joins on a stiff and on a weak supply are named, all but one in the leading group', () => {
  const answers = cases.map(({ file, truth }) => ({ file, truth, answer: diagnose(file) }));
  const unnamed = answers.filter(
    ({ truth, answer }) => !answer.suspects.some((s) => sameFaults(s.faults, truth)),
  );
  expect(unnamed.map(({ truth }) => truth)).toEqual([]);
  const behind = answers.filter(
    ({ file, truth, answer }) =>
      !leadingGroup(answer).some((s) => sameFaults(s.faults, truth) || cannotPart(file, s.faults, truth)),
  );
  expect(behind.length, JSON.stringify(behind.map(({ truth }) => truth))).toBeLessThanOrEqual(1);
});
