import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import { firstOfAll } from '../../src/faults/first-of-all.js';
import { judgeRules, type RuleName } from '../../src/faults/rules.js';
import { Taken } from '../../src/faults/taken.js';
import type { Fault } from '../../src/meter/fault.js';
import { predict } from '../../src/meter/predict.js';
import type { Reading, ReadingsFile } from '../../src/meter/readings-file.js';
import { fullSchedule, slotPairs } from '../../src/meter/schedule.js';
import { van } from '../meter/vans.js';
import { shownBy } from './shown-by.js';

/** What each place of a rule came to. */
function verdicts(file: ReadingsFile, rule: RuleName): Record<string, string> {
  const limits = diagnose(file).limits.filter((l) => l.rule === rule);
  return Object.fromEntries(limits.map((l) => [l.at, l.verdict]));
}

/** The same of readings of which none is a ghost, by the rules alone. */
function judged({ circuit, meter, readings }: ReadingsFile, rule: RuleName): Record<string, string> {
  const limits = judgeRules({ circuit, taken: new Taken(readings, meter), mayFloat: () => false });
  return Object.fromEntries(limits.filter((l) => l.rule === rule).map((l) => [l.at, l.verdict]));
}

const withoutDevice = {
  ...van(2),
  run: van(2).run.map((o) => ({ ...o, device: 'receptacle' as const })),
};

describe('the rules', () => {
  it('hold a run that is fed past the device against the device, not against its slots', () => {
    const file = shownBy([{ fault: 'fed-from-line', where: 'outlet1' }]);
    expect(verdicts(file, 'polarity')).toEqual({ outlet1: 'pass', outlet2: 'pass', outlet3: 'pass' });
    const device = { outlet1: 'pass', outlet2: 'fail', outlet3: 'fail' };
    expect(verdicts(file, 'ground-fault-device')).toEqual(device);
    const untried = file.readings.filter((r) => !('what' in r && r.what === 'dead-when-tripped'));
    expect(verdicts({ ...file, readings: untried }, 'ground-fault-device')).toEqual({
      ...device,
      outlet1: 'unproven',
    });
    expect(diagnose(file).verdict).toBe('fail');
  });

  it('hold conductors of the cord that are not apart against the cord, where that was read', () => {
    const sound = shownBy([]);
    const between = (ohms: number | null): Reading => ({
      test: 'resistance',
      from: 'plug.hot',
      to: 'plug.ground',
      ohms,
    });
    const right = { 'cord.hot': 'pass', 'cord.neutral': 'pass', 'cord.ground': 'pass' };
    expect(verdicts(sound, 'cord')).toEqual(right);
    expect(verdicts({ ...sound, readings: [...sound.readings, between(null)] }, 'cord')).toEqual(right);
    const leaking = { ...sound, readings: [...sound.readings, between(112)] };
    expect(verdicts(leaking, 'cord')).toEqual({ ...right, 'cord.hot': 'fail', 'cord.ground': 'fail' });
    expect(firstOfAll(leaking, diagnose(leaking))).toMatch(/^Leave the cord out/);
  });

  it('speak of no joint where nothing flows through the load', () => {
    const sound = shownBy([]);
    const readings = sound.readings.map((r) => (r.test === 'loaded-voltage' ? { ...r, volts: 0.2 } : r));
    const answer = diagnose({ ...sound, readings });
    expect(answer.joints).toEqual([]);
    expect(firstOfAll({ ...sound, readings }, answer) ?? '').not.toMatch(/Take the load off/);
  });

  it('lay dead slots to their wiring only where the readings themselves say that volts reach them', () => {
    const { readings: _, ...file } = shownBy([], { circuit: van(2) });
    const volts = (at: string, value: number): Reading[] =>
      slotPairs.map(([a, b]) => ({
        test: 'voltage',
        from: `${at}.${a}`,
        to: `${at}.${b}`,
        volts: a === 'neutral' ? 0 : value,
      }));
    const slots = [...volts('outlet1', 0), ...volts('outlet2', 0)];
    const at = (more: Reading[], circuit: ReadingsFile['circuit'] = van(2)) =>
      verdicts({ ...file, circuit, readings: [...slots, ...more] }, 'polarity');
    const said = (what: 'supply-holds' | 'gfci-resets', answer: boolean): Reading => ({
      test: 'observation',
      what,
      answer,
    });
    const [unproven, fail] = ['unproven', 'fail'].map((verdict) => ({ outlet1: verdict, outlet2: verdict }));
    const live = volts('supply', 120);
    // Between neutral and ground there are none to come, fed or not.
    const lifted: Reading = { test: 'voltage', from: 'outlet1.neutral', to: 'outlet1.ground', volts: 48 };
    expect(at([lifted])).toEqual({ outlet1: 'fail', outlet2: 'unproven' });
    expect(at(live)).toEqual(unproven);
    expect(at([...live, said('gfci-resets', false)])).toEqual(unproven);
    expect(at([...live, said('gfci-resets', true)])).toEqual(fail);
    expect(at([...live, said('gfci-resets', true), said('supply-holds', false)])).toEqual(unproven);
    // Without a device ahead of them, volts anywhere are what feeds them.
    expect(at([], withoutDevice)).toEqual(unproven);
    expect(at(live, withoutDevice)).toEqual(fail);
  });

  it('fail the polarity of a slot whose neutral comes by the ground, though every voltage is right', () => {
    const file = shownBy([{ fault: 'face-swapped', conductors: ['neutral', 'ground'], where: 'outlet3' }]);
    expect(verdicts(file, 'polarity')).toEqual({ outlet1: 'pass', outlet2: 'pass', outlet3: 'fail' });
  });

  it('pass a cord that is through, poor as its joint may be, and say that it is higher than predicted', () => {
    for (const conductor of ['hot', 'neutral', 'ground'] as const) {
      const file = shownBy([{ fault: 'high-resistance', conductor, where: 'cord', ohms: 3 }]);
      const limit = diagnose(file).limits.find((l) => l.at === `cord.${conductor}`)!;
      expect(limit).toMatchObject({ rule: 'cord', verdict: 'pass' });
      expect(limit.higherThanPredicted!.leastOhm).toBeGreaterThan(2.5);
      expect(diagnose(file).verdict).not.toBe('pass');
    }
  });

  it('fail the polarity of an outlet by its dead readings where a pole is open on its own way, from inlet or LOAD to it', () => {
    const circuit = {
      ...van(5),
      run: van(5).run.map(
        (o, k) => ({ ...o, device: k % 3 === 0 ? 'gfci-receptacle' : 'receptacle' }) as const,
      ),
    };
    const dead = fullSchedule(circuit).filter((t) => t.test === 'resistance');
    // Outlets 1 and 4 are devices: up to the first of them, from there to the second, and behind it.
    for (const ways of [[1], [2, 3, 4], [5]])
      for (const feed of ways)
        for (const conductor of ['hot', 'neutral'] as const) {
          const file = shownBy([{ fault: 'open', conductor, where: `feed${feed}` }], {
            circuit,
            tests: dead,
          });
          const failed = ways.filter((outlet) => outlet >= feed).map((outlet) => [`outlet${outlet}`, 'fail']);
          const found = Object.entries(judged(file, 'polarity')).filter(([, v]) => v === 'fail');
          expect({ feed, conductor, found }).toEqual({ feed, conductor, found: failed });
        }
  });

  it('hold volts to the supply’s own: what passes and what fails is the same share of any', () => {
    for (const volts of [100, 120, 230]) {
      const circuit = { ...van(2), supply: { volts, loopOhms: 0.05 } };
      const file = shownBy([], { circuit });
      expect(diagnose(file).verdict).toBe('pass');
      const less = (share: number, test: Reading['test']) => ({
        ...file,
        readings: file.readings.map((r) =>
          r.test === test && 'volts' in r && r.volts > volts / 2 ? { ...r, volts: share * volts } : r,
        ),
      });
      expect(judged(less(0.85, 'voltage'), 'polarity')).toEqual({ outlet1: 'fail', outlet2: 'fail' });
      expect(judged(less(0.92, 'loaded-voltage'), 'drop')).toEqual({ outlet2: 'fail' });
    }
  });

  it('name the outlet at which the load pulls the volts down, whichever was loaded first', () => {
    const file = shownBy([], { tests: [] });
    const load = (outlet: number, volts: number): Reading => ({
      ...({ test: 'loaded-voltage', from: `outlet${outlet}.hot`, to: `outlet${outlet}.neutral` } as const),
      ...{ amps: 8, volts },
    });
    const drops = (...readings: Reading[]) => judged({ ...file, readings }, 'drop');
    const both = { outlet1: 'pass', outlet3: 'fail' };
    expect(drops(load(1, 118), load(3, 105))).toEqual(both);
    expect(drops(load(3, 105), load(1, 118))).toEqual(both);
    expect(drops(load(1, 118), load(1, 105))).toEqual({ outlet1: 'fail' });
    expect(drops()).toEqual({ outlet3: 'unproven' });
  });

  it('judge each side of a device and its face by the readings that touch it there', () => {
    const file = shownBy([]);
    const places = {
      inlet: (c: string) => `inlet.${c}`,
      'outlet1.load': (c: string) => (c === 'ground' ? 'outlet1.ground' : `outlet1.load.${c}`),
      outlet1: (c: string) => `outlet1.${c}`,
    };
    for (const [place, point] of Object.entries(places))
      for (const [a, b] of slotPairs) {
        const at = file.readings.findIndex(
          (r) => r.test === 'resistance' && r.from === point(a) && r.to === point(b),
        );
        const low = file.readings.with(at, { ...file.readings[at], ohms: 2 } as Reading);
        const apart = (readings: readonly Reading[], rule: RuleName) =>
          Object.entries(judged({ ...file, readings }, rule)).filter(([, v]) => v !== 'pass');
        const joined = a === 'neutral';
        expect(apart(low, 'isolation')).toEqual([[place, 'fail']]);
        expect(apart(low, 'neutral-apart')).toEqual(joined ? [[place, 'fail']] : []);
        const without = file.readings.toSpliced(at, 1);
        expect(apart(without, 'isolation')).toEqual([[place, 'unproven']]);
        expect(apart(without, 'neutral-apart')).toEqual(joined ? [[place, 'unproven']] : []);
      }
  });

  it('pass a device that resets, holds under load and leaves its slots dead, and none of which one is not known', () => {
    const file = shownBy([]);
    const asked = ['gfci-resets', 'holds-under-load', 'dead-when-tripped'];
    for (const what of asked) {
      const at = file.readings.findIndex((r) => r.test === 'observation' && r.what === what);
      const device = (readings: readonly Reading[]) =>
        judged({ ...file, readings }, 'ground-fault-device').outlet1;
      const no = { ...file.readings[at], answer: false } as Reading;
      expect({
        what,
        verdicts: [file.readings, file.readings.toSpliced(at, 1), file.readings.with(at, no)].map(device),
      }).toEqual({
        what,
        verdicts: ['pass', 'unproven', 'fail'],
      });
    }
  });

  it('pass nothing on a ghost: where a ground or the bond is open, what happens to show the right volts is unproven', () => {
    const sound = shownBy([]).readings;
    /** Each ghost shows what a sound van would. */
    const disguised = (fault: Fault): ReadingsFile => {
      const file = shownBy([fault]);
      const shown = predict(file.circuit, file.meter, [fault], file.readings);
      const readings = file.readings.map((r, i) => {
        const p = shown[i]!;
        return p.kind === 'volts' && p.floating ? sound[i]! : r;
      });
      return { ...file, readings };
    };
    expect(verdicts(disguised({ fault: 'open', where: 'bond' }), 'chassis-to-earth')).toEqual({
      chassis: 'unproven',
    });
    for (const feed of [1, 2, 3])
      expect(
        verdicts(disguised({ fault: 'open', conductor: 'ground', where: `feed${feed}` }), 'polarity'),
      ).toEqual(Object.fromEntries([1, 2, 3].map((k) => [`outlet${k}`, k < feed ? 'pass' : 'unproven'])));
  });

  it('pass a ground within its limit, and say where it is more than predicted, and at the least how much', () => {
    const limits = (ohms?: number) => {
      const joint = { fault: 'high-resistance', conductor: 'ground', where: 'feed2', ohms } as Fault;
      return diagnose(shownBy(ohms === undefined ? [] : [joint])).limits.filter(
        (l) => l.rule === 'ground-path',
      );
    };
    expect(limits().filter((l) => l.higherThanPredicted !== undefined)).toEqual([]);
    const [first, ...behind] = limits(0.5);
    expect(first?.higherThanPredicted).toBeUndefined();
    for (const { verdict, higherThanPredicted: higher } of behind) {
      expect(verdict).toBe('pass');
      expect(higher!.leastOhm).toBeGreaterThan(higher!.predictedOhm);
      expect(higher!.leastOhm).toBeLessThan(higher!.predictedOhm + 0.5);
    }
  });

  it('fail a path from hot to neutral that no electronics explain: in a van without a device, or as low as a wire', () => {
    const at = (ohms: number, circuit: ReadingsFile['circuit']) =>
      judged(
        shownBy([{ fault: 'joined', conductors: ['hot', 'neutral'], where: 'inlet', ohms }], { circuit }),
        'isolation',
      ).inlet;
    expect([at(100_000, withoutDevice), at(100_000, van(2)), at(3, van(2))]).toEqual([
      'fail',
      'unproven',
      'fail',
    ]);
  });

  it('fail a cord whose conductor is not through, or lands on another pin as well', () => {
    const open = shownBy([{ fault: 'open', conductor: 'ground', where: 'cord' }]);
    expect(verdicts(open, 'cord')).toEqual({
      'cord.hot': 'pass',
      'cord.neutral': 'pass',
      'cord.ground': 'fail',
    });
    const swapped = shownBy([{ fault: 'swapped', conductors: ['hot', 'neutral'], where: 'cord' }]);
    expect(verdicts(swapped, 'cord')).toEqual({
      'cord.hot': 'fail',
      'cord.neutral': 'fail',
      'cord.ground': 'pass',
    });
    const sound = shownBy([]);
    const bridged = { test: 'resistance', from: 'plug.hot', to: 'connector.neutral', ohms: 0.2 } as const;
    expect(verdicts({ ...sound, readings: [...sound.readings, bridged] }, 'cord')['cord.hot']).toBe('fail');
  });

  it('fail whatever joins neutral and ground below 1 MΩ, as the isolation does', () => {
    for (const ohms of [1, 1800, 864_000]) {
      const file = shownBy([{ fault: 'joined', conductors: ['neutral', 'ground'], where: 'outlet2', ohms }]);
      expect({ ohms, ...verdicts(file, 'neutral-apart') }).toMatchObject({ ohms, 'outlet1.load': 'fail' });
    }
    const near = shownBy([
      { fault: 'joined', conductors: ['neutral', 'ground'], where: 'outlet2', ohms: 1_002_000 },
    ]);
    expect(verdicts(near, 'neutral-apart')['outlet1.load']).toBe('unproven');
  });

  it('leave a sound circuit that names no ground-fault device unproven, and say so', () => {
    const answer = diagnose(shownBy([], { circuit: withoutDevice }));
    expect(answer).toMatchObject({ verdict: 'unproven', suspects: [], missing: [] });
    expect(answer.limits.filter((l) => l.verdict !== 'pass')).toMatchObject([
      { rule: 'ground-fault-device', text: expect.stringContaining('names no ground-fault device') },
    ]);
    expect(diagnose(shownBy([])).verdict).toBe('pass');
  });
});
