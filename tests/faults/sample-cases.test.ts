import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import type { Fault } from '../../src/meter/fault.js';
import { parseReadingsFile } from '../../src/meter/readings-file.js';
import { leadingGroup, sameFaults } from './same-faults.js';

const numbers = Array.from({ length: 15 }, (_, i) => String(i + 1).padStart(3, '0'));
const read = (name: string) => readFileSync(new URL(`cases/${name}.json`, import.meta.url), 'utf8');

describe('the sample cases, made with ngspice and a meter’s error', () => {
  it.each(numbers)('case %s: the truth is in the leading group, and the verdict fits it', (number) => {
    const parsed = parseReadingsFile(read(`case-${number}`));
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.issues));
    const { faults: truth } = JSON.parse(read(`truth-${number}`)) as { faults: Fault[] };
    const answer = diagnose(parsed.file);
    if (truth.length === 0) {
      expect(answer).toMatchObject({ verdict: 'pass', suspects: [] });
      return;
    }
    expect(answer.verdict).toBe('fail');
    const group = leadingGroup(answer);
    expect(group.some((s) => sameFaults(s.faults, truth))).toBe(true);
    // A join in the run behind the device is seen from its LOAD screws alone: each outlet of the run stands beside the others.
    expect(group.length).toBeLessThanOrEqual(
      truth[0]!.fault === 'joined' ? parsed.file.circuit.run.length - 1 : 2,
    );
  });

  it('fits the ohms of a poor joint and of a damp path as a continuous value', () => {
    const ohmsOf = (number: string) => {
      const parsed = parseReadingsFile(read(`case-${number}`));
      const fault = parsed.ok ? diagnose(parsed.file).suspects[0]!.faults[0]! : undefined;
      return fault !== undefined && 'ohms' in fault ? fault.ohms : undefined;
    };
    // The truths are 366 140 Ω and 1.71 Ω; the meter errs by 0.9 % and 2 counts at the most.
    expect(Math.abs(ohmsOf('007')! - 366_140)).toBeLessThan(3500);
    expect(Math.abs(ohmsOf('011')! - 1.71)).toBeLessThan(0.15);
  });
});
