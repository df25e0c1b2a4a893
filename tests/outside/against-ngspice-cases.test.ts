import { beforeAll, describe, expect, it } from 'vitest';
import { type Answer, diagnose } from '../../src/faults/diagnose.js';
import { Evidence } from '../../src/faults/evidence.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { cannotPart, leadingGroup, sameFaults } from '../faults/same-faults.js';
import { type MadeCase, makeCases, takeNext } from './ngspice/make-cases.js';

/**
 * Fresh cases: random vans and faults from seeds, measured by ngspice, shown by a meter that errs by up to 0.7 of its stated
 * error. The shares asked for are those of the page on circuits, readings and faults.
 */
const seeds = (first: number, count: number) => Array.from({ length: count }, (_, i) => first + i);
let sound: { made: MadeCase; answer: Answer }[];
let single: { made: MadeCase; answer: Answer }[];
let double: { made: MadeCase; answer: Answer }[];

beforeAll(() => {
  const answered = (made: MadeCase) => ({ made, answer: diagnose(made.file) });
  sound = makeCases(seeds(70_000, 90), 0).map(answered);
  single = makeCases(seeds(71_000, 240), 1).map(answered);
  double = makeCases(seeds(72_000, 110), 2).map(answered);
}, 240_000);

describe('440 cases made with ngspice', () => {
  it('have the one fault in the leading group, which is at most two long on the average', () => {
    const seen = single.filter(({ made }) => canBeSeen(made));
    const groups = seen.map(({ made, answer }) => ({ made, group: leadingGroup(answer) }));
    const missed = groups.filter(({ made, group }) => !group.some((s) => sameFaults(s.faults, made.truth)));
    expect(missed.length, JSON.stringify(missed.map((m) => m.made.truth))).toBeLessThanOrEqual(
      0.01 * seen.length,
    );
    expect(groups.reduce((sum, g) => sum + g.group.length, 0) / groups.length).toBeLessThanOrEqual(2);
  });

  it('have two faults, or what the readings cannot part from them, in the leading group', () => {
    const missed = double.filter(({ made, answer }) => {
      const found = leadingGroup(answer).some(
        (s) => sameFaults(s.faults, made.truth) || cannotPart(made.file, s.faults, made.truth),
      );
      return !found;
    });
    expect(missed.length, JSON.stringify(missed.map((m) => m.made.truth))).toBeLessThanOrEqual(
      0.05 * double.length,
    );
  });

  it('never pass with a fault that a reading shows', () => {
    const passed = [...single, ...double].filter(
      ({ made, answer }) => answer.verdict === 'pass' && canBeSeen(made),
    );
    expect(passed.map(({ made }) => ({ seed: made.seed, truth: made.truth }))).toEqual([]);
  });

  it('never fail without a fault, but for a drop that is itself too large, and pass where no value lies near its limit', () => {
    for (const { made, answer } of sound) {
      const notPassed = answer.limits.filter((l) => l.verdict !== 'pass');
      // A long thin cord breaks the rule of the drop by itself; a value within the meter's error of it stays unproven.
      const drop = 120 - loadedVolts(made);
      const expected = drop < 6 - 1.5 ? 'pass' : drop > 6 + 1.5 ? 'fail' : 'unproven';
      expect({ seed: made.seed, verdict: answer.verdict, not: notPassed.map((l) => l.rule) }).toEqual({
        seed: made.seed,
        verdict: nearDrop(drop) ? answer.verdict : expected,
        not: answer.verdict === 'pass' ? [] : ['drop'],
      });
      expect(answer.suspects).toEqual([]);
      expect(answer.missing).toEqual([]);
    }
    expect(sound.filter(({ answer }) => answer.verdict === 'pass').length).toBeGreaterThan(20);
  });

  it('single out one place within three more readings as asked, wherever any reading can', () => {
    let open = single.filter(({ made }) => canBeSeen(made)).map(({ made }) => made);
    for (let more = 0; more < 3; more++) {
      const asked = open.flatMap((made) => {
        const answer = diagnose(made.file);
        const { nextReading } = answer;
        return places(answer) > 1 && nextReading !== null ? [{ made, test: nextReading }] : [];
      });
      if (asked.length === 0) break;
      const taken = takeNext(asked);
      open = asked.map(({ made }, i) => ({
        ...made,
        file: { ...made.file, readings: [...made.file.readings, taken[i]!] },
      }));
    }
    const left = open.filter((made) => {
      const answer = diagnose(made.file);
      return places(answer) > 1 && answer.nextReading !== null;
    });
    expect(left.map(({ seed, truth }) => ({ seed, truth }))).toEqual([]);
  });
});

function places(answer: Answer): number {
  return new Set(leadingGroup(answer).map((s) => s.faults.map((f) => f.where).join())).size;
}

/** False where no reading taken differs from what a sound van shows by more than the meter's error. */
function canBeSeen({ file, truth }: MadeCase): boolean {
  const taken = { ...file, readings: [...file.readings] };
  if (!cannotPart(taken, truth, [])) return true;
  const evidence = new Evidence(file.circuit, file.meter, file.readings);
  return evidence.logLikelihood([]) < -1.5 || file.readings.length < fullSchedule(file.circuit).length;
}

function loadedVolts({ file }: MadeCase): number {
  const reading = file.readings.find((r) => r.test === 'loaded-voltage');
  return reading?.test === 'loaded-voltage' ? reading.volts : 120;
}

/** So near to where the meter's error ends that rounding decides. */
function nearDrop(drop: number): boolean {
  return Math.abs(Math.abs(drop - 6) - 1.45) < 0.06;
}
