import { expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import { goOnWith } from '../../src/faults/go-on-with.js';
import { Bench } from '../../src/meter/bench.js';
import type { ElectricalCircuit } from '../../src/meter/electrical-circuit.js';
import type { Fault } from '../../src/meter/fault.js';
import type { ReadingsFile } from '../../src/meter/readings-file.js';
import { handheld, van } from '../meter/vans.js';
import { sameFaults } from './same-faults.js';
import { shownBy } from './shown-by.js';

/**
 * A join of a few ohms draws amps, and what the slots then show is the supply's to say: its volts, how long and thin its way is, and
 * whether its breaker holds. The circuit file gives none of it but the nominal.
 */
const supplies = [
  { volts: 126, loopOhms: 0.08 },
  { volts: 108, loopOhms: 0.8 },
];

/** The round on another supply than the file names; nobody reads volts under a load that did not hold. */
function onSupply(
  supply: ElectricalCircuit['supply'],
  truth: Fault,
  circuit: ElectricalCircuit,
): ReadingsFile {
  const file = shownBy([truth], { circuit: { ...circuit, supply } });
  const fell = file.readings.some(
    (r) => r.test === 'observation' && 'amps' in r && 'answer' in r && !r.answer,
  );
  return { ...file, circuit, readings: file.readings.filter((r) => !fell || r.test !== 'loaded-voltage') };
}

const withDevice = (at: number, amps: number): ElectricalCircuit => ({
  ...van(4),
  inlet: { amps },
  breaker: { amps: Math.min(amps, 20) },
  run: van(4).run.map((o, k) => ({ ...o, device: k + 1 === at ? 'gfci-receptacle' : 'receptacle' })),
});

it.each([
  ['hot', 'neutral'],
  ['hot', 'ground'],
] as const)('names a join of %s and %s of a few ohms on every supply, held or tripped', (...conductors) => {
  const missed: unknown[] = [];
  for (const supply of supplies)
    for (const [at, amps] of [
      [1, 15],
      [4, 20],
    ] as const)
      for (const where of ['inlet', 'outlet2'] as const)
        for (const ohms of [0.65, 1, 2.7]) {
          const truth: Fault = { fault: 'joined', conductors: [...conductors], where, ohms };
          const file = onSupply(supply, truth, withDevice(at, amps));
          const { suspects } = diagnose(file);
          if (!suspects.some((s) => sameFaults(s.faults, [truth])))
            missed.push({ supply, at, truth, suspects });
        }
  expect(missed).toEqual([]);
});

it('is told from its neighbours through four volts and a half that the supply’s ground stands on, over a live skin too', () => {
  const truth: Fault = { fault: 'joined', conductors: ['hot', 'ground'], where: 'outlet2', ohms: 1.4 };
  const { readings, ...file } = onSupply(supplies[1]!, truth, withDevice(4, 20));
  const onGround = readings.map((r) =>
    'from' in r && r.from === 'chassis' && 'volts' in r ? { ...r, volts: r.volts - 4.5 } : r,
  );
  const { suspects } = diagnose({ ...file, readings: onGround });
  expect(suspects.some((s) => sameFaults(s.faults, [truth]))).toBe(true);
});

it('says nothing of the supply’s breaker where it would hold on the one and open on the other', () => {
  const tests = [{ test: 'observation', what: 'supply-holds' }] as const;
  const bench = new Bench(van(3), handheld, tests);
  const holds = (ohms: number) => {
    const { values, others } = bench.shows([
      { fault: 'joined', conductors: ['hot', 'neutral'], where: 'inlet', ohms },
    ]);
    return [...new Set([values[0], ...others.map((o) => o.values[0])])].sort();
  };
  expect([0.01, 0.9, 6].map(holds)).toEqual([[0], [0, 1], [1]]);
});

it('is no reason to plug in: a join by the dead readings is mended first, whatever the supply would do', () => {
  const truth: Fault = { fault: 'joined', conductors: ['hot', 'ground'], where: 'outlet2', ohms: 0.8 };
  const { readings, ...file } = onSupply(supplies[1]!, truth, withDevice(4, 15));
  const dead = { ...file, readings: readings.filter((r) => r.test === 'resistance') };
  expect(goOnWith(dead, diagnose(dead))).toBeNull();
});
