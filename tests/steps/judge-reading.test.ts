import { describe, expect, it } from 'vitest';
import { demoInstruments } from '../../seed-demo/demo-script.js';
import type { InstrumentSnapshot, Shown } from '../../src/logbook/entry.js';
import { judgeReading } from '../../src/steps/judge-reading.js';
import { plannedReadings } from '../../src/steps/planned-readings.js';
import type { PlannedReading } from '../../src/steps/step.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { gradeOf } from './reading-grade.js';

const readings = plannedReadings(demoCircuit());
const [meter] = demoInstruments;
const judged = (id: string, shown: Shown, instrument: InstrumentSnapshot | undefined = meter) =>
  judgeReading(readings.find((r) => r.id === id) as PlannedReading, shown, instrument);
const remarksOn = (id: string, shown: Shown) => judged(id, shown).remarks;
const volts = (value: number): Shown => ({ kind: 'volts', volts: value, lowImpedance: false });
const ohms = (value: number): Shown => ({ kind: 'ohms', ohms: value });

describe('what comes first where something is live that should not be', () => {
  it.each([
    ['absence-of-voltage.inlet', volts(120), /^Take it as live: hands off/],
    ['supply.hot-neutral', volts(240), /^Plug nothing in here/],
    ['cord-end.hot-ground', volts(0), /^Unplug the cord at the supply/],
    ['no-glow', { kind: 'answer', answer: false }, /^Touch no metal of the van/],
    ['chassis-to-earth', volts(60), /^Touch no metal of the van/],
    ['gfci-resets', { kind: 'answer', answer: false }, /^Unplug at the supply/],
    ['voltage.hot-ground.press', volts(0), /^Unplug at the supply/],
    ['dead-when-tripped.press', { kind: 'answer', answer: false }, /^Unplug at the supply/],
  ] as const)('is said first of all where %s fails', (id, shown, first) => {
    expect(remarksOn(id, shown)[0]).toMatch(first);
  });

  it('is not said of a reading that passes, or is unproven', () => {
    for (const shown of [volts(0), volts(1)])
      expect(remarksOn('absence-of-voltage.inlet', shown).join()).not.toMatch(/hands off/);
  });

  it('is to take the load off where the supply itself gives way under it, which has no verdict', () => {
    const loaded = (shown: number): Shown => ({ kind: 'loaded-volts', volts: shown, amps: 8 });
    expect(judged('loaded.supply', loaded(59)).verdict).toBe('noted');
    expect(remarksOn('loaded.supply', loaded(59))).toEqual([
      expect.stringMatching(/^Under 104 V: take the load off now/),
    ]);
    expect(remarksOn('loaded.supply', loaded(117))).toEqual([]);
  });

  it('proves nothing on a meter that claims no error at all: on its limit it would pass', () => {
    const exact = {
      ...meter!,
      ohms: { percent: 0, counts: 0, resolution: 0.1, overLimit: 4e7 },
      volts: { percent: 0, counts: 0, resolution: 0.1 },
    };
    expect(judged('ground-path.press', ohms(1), exact).verdict).toBe('unproven');
    expect(judged('absence-of-voltage.inlet', volts(1), exact).verdict).toBe('unproven');
  });

  it('is said of what a meter shows whose error nobody knows, though that is no verdict', () => {
    const bare: InstrumentSnapshot = {
      id: 'x',
      kind: 'multimeter',
      name: 'x',
      serial: 'x',
      calibrated: '2026-05-12',
    };
    expect(judged('absence-of-voltage.inlet', volts(120), bare)).toMatchObject({
      verdict: 'unproven',
      remarks: [expect.stringMatching(/^Take it as live/), expect.stringMatching(/known accuracy/)],
    });
  });

  it('has its sentence at every reading that is taken with power, but those that only weigh a drop', () => {
    const without = readings.filter((r) => r.stage === 'live' && r.whenFails === undefined);
    expect([...new Set(without.map((r) => r.rule))]).toEqual(['polarity', 'drop']);
    expect(without.filter((r) => r.rule === 'polarity').every((r) => r.what === 'three-lamp')).toBe(true);
    expect(gradeOf(readings.map((r) => r.whenFails ?? ''))).toBeLessThan(8);
  });
});

describe('some kΩ between hot and neutral, where a device’s electronics lie', () => {
  const between = (value: number, id = 'isolation.hot-neutral.inlet') => judged(id, ohms(value));

  it('pass, and have the probes exchanged, since a join or damp may read alike', () => {
    for (const value of [8_000, 30_000, 900_000])
      expect(between(value)).toMatchObject({
        verdict: 'pass',
        remarks: [expect.stringMatching(/^Under 1 MΩ: exchange the probes and read again/)],
      });
    expect(between(30_000, 'isolation.hot-neutral.load.bench').remarks).toHaveLength(1);
  });

  it('are no remark where the pair is apart, and fail where it is shorted', () => {
    expect(between(3e6).remarks).toEqual([]);
    expect(judged('isolation.hot-neutral.inlet', { kind: 'ohms', ohms: null }).remarks).toEqual([]);
    expect(between(2).verdict).toBe('fail');
  });
});

describe('what would prove a reading that its meter leaves open', () => {
  it('is never a load where a ground was read: no current of a load runs through it', () => {
    expect(remarksOn('ground-path.press', ohms(0.98)).join()).toMatch(/low-ohm meter/);
    expect(remarksOn('ground-path.press', ohms(0.98)).join()).not.toMatch(/loaded voltage/);
    expect(remarksOn('bond', ohms(0.98)).join()).not.toMatch(/loaded voltage/);
    expect(remarksOn('continuity.hot.press', ohms(0.98)).join()).toMatch(/loaded voltage/);
  });
});

describe('what meets its limit and proves nothing all the same', () => {
  const lowOhm = { ...meter!, ohms: { percent: 2, counts: 5, resolution: 0.01, overLimit: 2000 } };
  const loaded = (amps: number): Shown => ({ kind: 'loaded-volts', volts: 119, amps });

  it('is a drop under a load that is smaller than the one asked for', () => {
    for (const amps of [0.1, 0.5, 7.9])
      expect(judged('loaded.hot-neutral.locker', loaded(amps))).toMatchObject({
        verdict: 'unproven',
        remarks: [expect.stringMatching(/too small: a poor joint shows from 8 A on/)],
      });
    for (const amps of [8, 12.5])
      expect(judged('loaded.hot-neutral.locker', loaded(amps)).verdict).toBe('pass');
  });

  it('is an over-limit, or ohms, beyond the end of the meter that is named', () => {
    const apart = 'isolation.hot-ground.inlet';
    expect(judged(apart, { kind: 'ohms', ohms: null, rangeOhms: 2e9 }, lowOhm).verdict).toBe('unproven');
    expect(judged(apart, ohms(5e6), lowOhm)).toMatchObject({
      verdict: 'unproven',
      remarks: [expect.stringMatching(/more than that meter can show/)],
    });
    expect(judged(apart, { kind: 'ohms', ohms: null, rangeOhms: 4e7 }).verdict).toBe('pass');
    expect(judged(apart, ohms(5e6)).verdict).toBe('pass');
  });
});

describe('the line above which a reading under load is looked at again', () => {
  const neutral = 'loaded.neutral-ground.locker';
  const shown = (volts: number, amps: number): Shown => ({ kind: 'loaded-volts', volts, amps });

  it('grows with the load', () => {
    expect(remarksOn(neutral, shown(3.6, 12)).join()).toBe('');
    expect(remarksOn(neutral, shown(3.6, 8)).join()).toMatch(/warm silver screw/);
  });
});

describe('ohms that are shown above the line and may lie below it', () => {
  it('are said, with what would tell, and pass', () => {
    // A joint of 0.3 Ω in a bond or a ground, on a meter of 2 counts of 0.1 Ω.
    const coarse = { ...meter!, ohms: { percent: 0.9, counts: 2, resolution: 0.1, overLimit: 4e7 } };
    for (const id of ['bond', 'ground-path.locker', 'continuity.hot.press']) {
      expect(judged(id, ohms(0.3), coarse), id).toMatchObject({
        verdict: 'pass',
        remarks: [expect.stringMatching(/^Shown above 0\.\d+ Ω, .*null the leads/)],
      });
      expect(judged(id, ohms(0.1), coarse)).toMatchObject({ verdict: 'pass', remarks: [] });
      expect(judged(id, ohms(0.6), coarse).remarks.join()).not.toMatch(/null the leads/);
    }
  });
});

describe('neutral to ground under load', () => {
  const neutral = 'loaded.neutral-ground.locker';
  const shown = (volts: number, amps = 8): Shown => ({ kind: 'loaded-volts', volts, amps });

  it('of nothing is a join of the two nearby: a fail, with what to do first', () => {
    expect(judged(neutral, shown(0))).toMatchObject({
      verdict: 'fail',
      remarks: [
        expect.stringMatching(
          /joined in the van or close ahead of it, or the ground is open there\. Stop: unplug at the supply/,
        ),
      ],
    });
    // What a join at the inlet leaves: the van's own neutral, within the error of this meter.
    expect(judged(neutral, shown(0.4))).toMatchObject({
      verdict: 'unproven',
      remarks: [expect.stringMatching(/Stop: unplug/), expect.stringMatching(/finer meter/)],
    });
  });

  it('is right from the drop of the van and half of the cord on, in proportion to the load', () => {
    expect(judged(neutral, shown(1.9))).toMatchObject({ verdict: 'pass', remarks: [] });
    expect(judged(neutral, shown(0.9)).verdict).toBe('pass');
    expect(judged(neutral, shown(0.9, 16)).verdict).toBe('unproven');
    expect(judged(neutral, shown(0.8, 16)).verdict).toBe('fail');
  });
});

describe('a supply that is outside what is usable, and may be plugged into all the same', () => {
  it.each([
    [104.9, true],
    [105.5, true],
    [106.5, true],
    [107.5, false],
    [112, false],
    [128, false],
    [129, true],
  ])('is looked at again at %s V: %s', (shown, looked) => {
    for (const id of ['supply.hot-neutral', 'cord-end.hot-neutral'])
      expect(/tell whoever owns this supply/.test(remarksOn(id, volts(shown)).join()), id).toBe(looked);
  });

  it('is unproven within the meter’s error of where nothing is plugged in, passes above it, and fails below it', () => {
    const at = (shown: number) => judged('supply.hot-neutral', volts(shown)).verdict;
    expect([102.6, 104, 105.4].map(at)).toEqual(['fail', 'unproven', 'pass']);
    expect([130.3, 132, 133.7].map(at)).toEqual(['pass', 'unproven', 'fail']);
  });
});

describe('a meter that states its error for one thing alone', () => {
  const { ohms: _ohms, ...forVolts } = meter as InstrumentSnapshot;
  const { volts: _volts, ...forOhms } = meter as InstrumentSnapshot;
  it.each<[string, Shown, InstrumentSnapshot, string]>([
    ['supply.hot-neutral', volts(120), forVolts, 'pass'],
    ['supply.hot-neutral', volts(120), forOhms, 'unproven'],
    ['bond', ohms(0.1), forOhms, 'pass'],
    ['bond', ohms(0.1), forVolts, 'unproven'],
  ])('proves no other: %s', (id, shown, instrument, verdict) => {
    expect(judged(id, shown, instrument).verdict).toBe(verdict);
  });
});

describe('the lamps of a tester', () => {
  const id = readings.find((r) => r.what === 'three-lamp')?.id as string;
  it.each([
    ['right', 'no', [true, true, false], 'noted', /^These lamps light in the same way with: .*Only readings/],
    [
      'with no neutral',
      'one',
      [false, true, false],
      'fail',
      /comes with: neutral open, nothing plugged in\.$/,
    ],
    ['all at once', 'no known', [true, true, true], 'fail', /^This pattern comes with: no single fault/],
  ] as const)('lit %s are a sign of %s fault, and never a pass', (_how, _what, lit, verdict, remark) => {
    const [hotNeutral, hotGround, neutralGround] = lit;
    expect(judged(id, { kind: 'lamps', hotNeutral, hotGround, neutralGround })).toEqual({
      verdict,
      remarks: [expect.stringMatching(remark)],
    });
  });
});

it('OL proves nothing where the range stops below the limit, and the range that does is named', () => {
  const shown: Shown = { kind: 'ohms', ohms: null, rangeOhms: 400 };
  expect(judged('isolation.hot-neutral.inlet', shown)).toMatchObject({
    verdict: 'unproven',
    remarks: [expect.stringMatching(/^OL on a range that stops below the limit.* highest range/)],
  });
});
