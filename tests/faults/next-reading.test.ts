import { describe, expect, it } from 'vitest';
import { catalogue } from '../../src/faults/catalogue.js';
import { type Answer, diagnose } from '../../src/faults/diagnose.js';
import type { Fault } from '../../src/meter/fault.js';
import type { ReadingsFile, Test } from '../../src/meter/readings-file.js';
import { van } from '../meter/vans.js';
import { shownBy } from './shown-by.js';

/** How many places the leading suspects name. */
function places({ suspects }: Answer): number {
  const least = (suspects[0]?.probability ?? 0) / 10;
  const leading = suspects.filter((s) => s.probability >= least);
  return new Set(leading.map((s) => s.faults.map((f) => f.where).join())).size;
}

/** Takes the readings as they are asked for, three at the most. */
function asAsked(file: ReadingsFile, truth: readonly Fault[]) {
  const asked: ReadingsFile['readings'][number][] = [];
  let answer = diagnose(file);
  while (places(answer) > 1 && answer.nextReading !== null && asked.length < 3) {
    asked.push(...shownBy(truth, { circuit: file.circuit, tests: [answer.nextReading] }).readings);
    answer = diagnose({ ...file, readings: [...file.readings, ...asked] });
  }
  return { asked, answer };
}

describe('the next reading', () => {
  it('leaves, within three, one place or what no reading parts, for every single fault', {
    timeout: 240_000,
  }, () => {
    for (const outlets of [1, 3]) {
      for (const { fault } of catalogue(van(outlets))) {
        const truth = ['ohms' in fault ? { ...fault, ohms: 2 } : fault];
        const { answer } = asAsked(shownBy(truth, { circuit: van(outlets) }), truth);
        expect({ truth, parts: places(answer) > 1 ? answer.nextReading : null }).toEqual({
          truth,
          parts: null,
        });
      }
    }
  });

  it('is a loaded voltage to ground, where that alone tells one length of a poor neutral from another', () => {
    const truth: Fault[] = [{ fault: 'high-resistance', conductor: 'neutral', where: 'feed1', ohms: 0.3 }];
    const { asked, answer } = asAsked(shownBy(truth), truth);
    expect(asked[0]).toMatchObject({
      test: 'loaded-voltage',
      from: 'outlet1.neutral',
      to: 'outlet1.ground',
      amps: 8,
    });
    expect(answer.suspects[0]!.faults).toMatchObject([{ where: 'feed1', conductor: 'neutral' }]);
  });

  it('asks for the load that was used before', () => {
    const truth: Fault[] = [{ fault: 'high-resistance', conductor: 'neutral', where: 'feed1', ohms: 0.3 }];
    const file = shownBy(truth);
    const tests = file.readings.map((r) => ('amps' in r ? { ...r, amps: 10 } : r));
    const answer = diagnose(shownBy(truth, { tests }));
    expect(answer.nextReading).toMatchObject({ test: 'loaded-voltage', amps: 10 });
  });

  it('is a slot against true earth, where only that tells a live skin from an open ground', () => {
    const truth: Fault[] = [{ fault: 'bootleg-reversed', where: 'supply' }];
    const first = diagnose(shownBy(truth));
    expect(first.suspects.map((s) => s.text)).toContain('Ground open at the supply');
    expect(first.nextReading).toEqual({ test: 'voltage', from: 'outlet1.hot', to: 'earth' });
    const { readings } = shownBy(truth, { tests: [first.nextReading as Test] });
    const file = shownBy(truth);
    const answer = diagnose({ ...file, readings: [...file.readings, ...readings] });
    expect(answer.suspects.map((s) => s.faults)).toEqual([truth]);
  });

  it('is none for a face that is exchanged, where the others show that their common ground is whole', () => {
    const truth: Fault[] = [{ fault: 'face-swapped', conductors: ['hot', 'neutral'], where: 'outlet1' }];
    const { asked, answer } = asAsked(shownBy(truth), truth);
    expect(asked).toEqual([]);
    expect(answer.suspects[0]?.faults).toEqual(truth);
    expect(places(answer)).toBe(1);
  });

  it('is never beyond the round where nothing seems wrong', () => {
    expect(diagnose(shownBy([])).nextReading).toBeNull();
    const { readings, ...file } = shownBy([]);
    const dead = readings.filter((r) => r.test === 'resistance');
    expect(diagnose({ ...file, readings: dead }).nextReading).not.toMatchObject({ test: 'resistance' });
  });

  it('is dead where a dead one tells as much as a live one', () => {
    const truth: Fault[] = [{ fault: 'high-resistance', conductor: 'ground', where: 'feed2', ohms: 2 }];
    const { readings, ...file } = shownBy(truth);
    const last = readings.filter(
      (r) => !('to' in r && /^outlet[12]\.ground$/.test(r.to) && r.test === 'resistance'),
    );
    expect(diagnose({ ...file, readings: last }).nextReading).toMatchObject({ test: 'resistance' });
  });

  it('is nothing live once the supply’s breaker opened', () => {
    const truth: Fault[] = [{ fault: 'joined', conductors: ['hot', 'neutral'], where: 'outlet2' }];
    const { readings, ...file } = shownBy(truth);
    const few = readings.filter((r) => r.test === 'observation' && r.what === 'supply-holds');
    expect(few).toMatchObject([{ answer: false }]);
    expect(diagnose({ ...file, readings: few }).nextReading).toMatchObject({ test: 'resistance' });
  });
});
