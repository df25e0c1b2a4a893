import { readFigure } from '../../circuit/typed-figure.js';
import type { Issue } from '../../errors.js';
import type { ElectricalCircuit } from '../../meter/electrical-circuit.js';
import type { Reading } from '../../meter/readings-file.js';
import { testLoadA } from '../../meter/schedule.js';
import { lampsOfBits } from '../../meter/three-lamp.js';
import type { FlatTyped } from '../page/form.js';

const lampNames = ['hot–neutral', 'hot–ground', 'neutral–ground'];

/** The eight patterns of a three-lamp tester, by which lamps light: the right one first, none last. */
export const lampOptions = [6, 4, 2, 1, 5, 3, 7, 0].map((bits) => {
  const lit = lampNames.filter((_, i) => (bits & (4 >> i)) !== 0);
  return { value: String(bits), label: lit.length === 0 ? 'none lights' : lit.join(' and ') };
});

/** The observations that were typed; what was left at "not tried" is none. */
export function answersFrom(typed: FlatTyped, circuit: ElectricalCircuit, issues: Issue[]): Reading[] {
  const yesNo = (field: string) => ({ yes: true, no: false })[typed[field] ?? ''];
  const asked = (['supply-holds', 'gfci-resets'] as const).flatMap((what): Reading[] => {
    const answer = yesNo(what);
    return answer === undefined ? [] : [{ test: 'observation', what, answer }];
  });
  const atOutlets = circuit.run.flatMap((_, k): Reading[] => {
    const at = `outlet${k + 1}`;
    const [dead, holds, lamps] = [yesNo(`dead.${k}`), yesNo(`holds.${k}`), typed[`lamps.${k}`] ?? ''];
    return [
      ...(dead === undefined
        ? []
        : [{ test: 'observation', what: 'dead-when-tripped', at, answer: dead } as const]),
      ...(holds === undefined
        ? []
        : [
            {
              test: 'observation',
              what: 'holds-under-load',
              at,
              amps: loadOf(typed, issues),
              answer: holds,
            } as const,
          ]),
      ...(/^[0-7]$/.test(lamps)
        ? [{ test: 'observation', what: 'three-lamp', at, lamps: lampsOfBits(Number(lamps)) } as const]
        : []),
    ];
  });
  return [...asked, ...atOutlets];
}

/** The test load that was typed, A; an issue and the usual one where it is no load. */
export function loadOf(typed: FlatTyped, issues: Issue[]): number {
  const text = (typed.loadA ?? '').trim();
  const amps = text === '' ? testLoadA : readFigure(text, 'current', 'A')?.value;
  if (amps !== undefined && amps > 0 && amps <= 100) return amps;
  if (!issues.some((i) => i.field === 'loadA'))
    issues.push({ field: 'loadA', message: 'needs a load above 0 and at most 100 A' });
  return testLoadA;
}
