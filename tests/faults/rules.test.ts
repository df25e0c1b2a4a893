import { describe, expect, it } from 'vitest';
import { diagnose } from '../../src/faults/diagnose.js';
import type { RuleName } from '../../src/faults/rules.js';
import type { Reading, ReadingsFile } from '../../src/meter/readings-file.js';
import { slotPairs } from '../../src/meter/schedule.js';
import { van } from '../meter/vans.js';
import { shownBy } from './shown-by.js';

/** What each place of a rule came to. */
function verdicts(file: ReadingsFile, rule: RuleName): Record<string, string> {
  const limits = diagnose(file).limits.filter((l) => l.rule === rule);
  return Object.fromEntries(limits.map((l) => [l.at, l.verdict]));
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
