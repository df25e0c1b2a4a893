import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { electricalCircuit } from '../../src/meter/electrical-circuit.js';
import { parseReading } from '../../src/meter/readings-file.js';
import { fullSchedule } from '../../src/meter/schedule.js';
import { plannedReadings } from '../../src/steps/planned-readings.js';
import type { PlannedReading } from '../../src/steps/step.js';
import { stepsOf } from '../../src/steps/steps-of.js';
import { cautions, standingCautions } from '../../src/trade/cautions.js';
import { meterMistake } from '../../src/trade/meter-mistakes.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { anyCircuit, plainRun } from './random-circuit.js';

const demo = demoCircuit();
const readings = plannedReadings(demo);
const reading = (id: string, list: readonly PlannedReading[] = readings): PlannedReading => {
  const found = list.find((r) => r.id === id);
  if (!found) throw new Error(`no reading ${id}`);
  return found;
};
const endsOf = (r: { test: string; from?: string; to?: string; what?: string; at?: string }) =>
  r.test === 'observation' ? `${r.what} ${r.at ?? ''}` : `${r.test} ${[r.from, r.to].sort().join(' ')}`;

describe('the schedule', () => {
  it.each([1, 2, 3, 5, 8])('has 3N + 7 required dead readings and three at the face for N = %i', (n) => {
    const dead = plannedReadings(plainRun(demo, n)).filter(
      (r) => r.stage === 'dead' && r.required && r.rule !== 'absence-of-voltage' && r.rule !== 'cord',
    );
    expect(dead.length).toBe(3 * n + 7 + 3);
  });

  it('has six readings of the cord, its plug looked at, and one absence of voltage for each place', () => {
    expect(readings.filter((r) => r.rule === 'cord' && r.test === 'resistance').length).toBe(6);
    expect(reading('cord.plug-fits').concession).toBe('never');
    expect(readings.filter((r) => r.rule === 'absence-of-voltage').length).toBe(demo.run.length + 1);
  });

  it.each([1, 3, 6])('has 4N + 9 required live readings, glow and load beside them, for N = %i', (n) => {
    const live = plannedReadings(plainRun(demo, n)).filter((r) => r.stage === 'live' && r.required);
    const beside = ['no-glow', 'holds-under-load', `loaded.hot-neutral.out${n - 1}`];
    expect(live.filter((r) => !beside.includes(r.id)).length).toBe(4 * n + 9);
  });

  it('takes every reading of the whole round that the fault-finder follows', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        const planned = plannedReadings(circuit).map((r) =>
          endsOf(r.test === 'observation' && r.from ? { ...r, at: r.from.split('.')[0]! } : r),
        );
        for (const test of fullSchedule(electricalCircuit(circuit)))
          expect(planned, endsOf(test)).toContain(endsOf(test));
      }),
      { numRuns: 40 },
    );
  });

  it('reaches the LINE screws of the device from the inlet and starts at its LOAD screws for the rest', () => {
    expect(reading('continuity.hot.bench')).toMatchObject({ from: 'inlet.hot', to: 'outlet1.line.hot' });
    expect(reading('continuity.neutral.locker')).toMatchObject({
      from: 'outlet1.load.neutral',
      to: 'outlet3.neutral',
    });
  });

  it('names points that the circuit has, in the readings language', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        const electrical = electricalCircuit(circuit);
        for (const r of plannedReadings(circuit)) {
          if (r.test === 'observation' || r.from === undefined) continue;
          const shown = r.test === 'resistance' ? { ohms: 1 } : { volts: 1 };
          const raw = { test: r.test, from: r.from, to: r.to, ...(r.amps ? { amps: r.amps } : {}), ...shown };
          expect(parseReading(electrical, raw), r.id).toMatchObject({ ok: true });
        }
      }),
      { numRuns: 30 },
    );
  });

  it('has the readings of another source only where there is one, each never conceded', () => {
    const more = plannedReadings(
      demoCircuit({ otherSources: [{ kind: 'inverter', keptOff: 'own-relay', metalCase: false }] }),
    ).filter((r) => r.rule === 'other-source');
    expect(readings.some((r) => r.rule === 'other-source')).toBe(false);
    expect(more.map((r) => [r.required, r.concession])).toEqual(Array(3).fill([true, 'never']));
  });

  it('repeats with the trim on: last ground, bond, both sides to ground, TEST', () => {
    expect(readings.filter((r) => r.stage === 'handover').map((r) => r.code)).toEqual([
      'Q-G3',
      'Q-B1',
      'Q-I1',
      'Q-I2',
      'Q-I4',
      'Q-I5',
      'Q-TD1',
      'Q-TD2',
      'Q-TD3',
    ]);
  });
});

describe('every reading of any circuit', () => {
  it('has an id of its own, a step that takes it, known cautions and mistakes, and what mends disturb it', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        const list = plannedReadings(circuit);
        const steps = stepsOf(circuit);
        expect(new Set(list.map((r) => r.id)).size).toBe(list.length);
        expect(new Set(list.map((r) => r.code)).size).toBe(list.length);
        expect(steps.flatMap((s) => s.readings).sort()).toEqual(list.map((r) => r.id).sort());
        for (const r of list) {
          expect(steps.find((s) => s.id === r.step)?.stage, r.id).toBe(r.stage);
          for (const id of r.cautions) expect(Object.keys(cautions)).toContain(id);
          for (const id of r.mistakes) expect(meterMistake(id).id).toBe(id);
          expect(r.disturbedBy.length, r.id).toBeGreaterThan(0);
          expect(r.expected.text, r.id).not.toBe('');
        }
      }),
      { numRuns: 30 },
    );
  });

  it('is met by what the sound circuit shows, cables no longer than the limits allow', () => {
    fc.assert(
      fc.property(anyCircuit, (circuit) => {
        for (const r of plannedReadings(plainRun(circuit, 3))) {
          const { value } = r.expected;
          if (!r.required || r.rule === 'drop' || r.limit === undefined) continue;
          if (typeof value === 'boolean') expect(value, r.id).toBe(r.limit.answer);
          if (value === null) expect(r.limit.upper, r.id).toBeUndefined();
          if (typeof value !== 'number' || r.rule === 'ground-path' || r.id === 'cord.ground') continue;
          expect(value, r.id).toBeLessThanOrEqual(r.limit.upper ?? Number.POSITIVE_INFINITY);
          expect(value, r.id).toBeGreaterThanOrEqual(r.limit.lower ?? 0);
        }
      }),
      { numRuns: 30 },
    );
  });

  it('keeps its id when an outlet is put in before it, and names the new point', () => {
    const moved = {
      ...demo,
      run: [demo.run[0]!, { ...demo.run[1]!, id: 'extra' }, demo.run[1]!, demo.run[2]!],
    };
    expect(reading('ground-path.locker').to).toBe('outlet3.ground');
    expect(reading('ground-path.locker', plannedReadings(moved)).to).toBe('outlet4.ground');
  });
});

describe('limits and concessions', () => {
  it('expects what the schedule works out by hand for 12 AWG feeds of 3, 2 and 2 m', () => {
    // 5.211 mΩ/m at 20 °C (ASTM B258, IEC 60028) × 1.02 lay + 4 mΩ a length: 20, 15, 15 mΩ, and 1 mΩ a splice.
    const text = (id: string) => reading(id).expected.text;
    expect(['bench', 'press', 'locker'].map((o) => text(`ground-path.${o}`))).toEqual([
      '0.02 Ω',
      '0.04 Ω',
      '0.05 Ω',
    ]);
    expect(text('bond')).toBe('0.01 Ω');
    expect(text('cord.ground')).toBe('0.04 Ω');
    expect(text('isolation.hot-ground.inlet')).toBe('OL (over 1 MΩ)');
    expect(text('voltage.hot-neutral.locker')).toBe('120 V');
    expect(text('gfci-resets')).toBe('yes');
  });

  it('asks 1 MΩ between hot and neutral only where no electronics lie across them', () => {
    expect(reading('isolation.hot-neutral.inlet').limit?.lower).toBe(1000);
    const plain = plannedReadings(demoCircuit({ 'run.0.device': 'receptacle' }));
    expect(reading('isolation.hot-neutral.inlet', plain).limit?.lower).toBe(1e6);
    expect(reading('isolation.neutral-ground.load.bench').limit?.lower).toBe(1e6);
  });

  it('concedes nothing that no concession may cover', () => {
    const never = readings.filter(
      (r) =>
        [
          'ground-path',
          'bond',
          'neutral-apart',
          'polarity',
          'continuity',
          'chassis-to-earth',
          'absence-of-voltage',
        ].includes(r.rule) ||
        r.what === 'dead-when-tripped' ||
        r.what === 'gfci-resets' ||
        r.id === 'cord.ground' ||
        r.id === 'supply.hot-neutral' ||
        r.what === 'supply-holds' ||
        /^(?:(?:trim-on\.)?isolation|cord)\.(?:hot|neutral)-ground/.test(r.id),
    );
    expect(never.length).toBeGreaterThan(30);
    for (const r of never) expect(r.concession, r.id).toBe('never');
  });

  it('never takes hot to ground on a low-impedance range while the device holds', () => {
    for (const r of readings.filter(
      (x) =>
        x.test === 'voltage' &&
        x.from?.endsWith('hot') &&
        x.to?.endsWith('ground') &&
        x.rule !== 'ground-fault-device',
    ))
      expect(r.lowImpedance, r.id).toBe('never');
  });

  it('leaves what is read before power, or with other power, out of what the fault-finder compares', () => {
    for (const r of readings.filter((x) => x.rule === 'absence-of-voltage')) expect(r.from).toBeUndefined();
  });
});

it('carries the usual cautions at every reading with power, the repeat of TEST with the trim on too', () => {
  const repeats = readings.filter((r) => r.step === 'trim-on-test');
  expect(repeats.length).toBe(3);
  for (const r of repeats) expect(r.cautions, r.id).toEqual(expect.arrayContaining([...standingCautions]));
});

it('marks the look-again lines that begin with their own figure, and no others', () => {
  const inverter = { kind: 'inverter', keptOff: 'own-relay', metalCase: true };
  for (const { id, look } of plannedReadings(demoCircuit({ otherSources: [inverter] })))
    if (look?.over !== undefined)
      expect([id, look.namesFigure === true]).toEqual([id, /^(?:Over|Outside) \d/.test(look.text)]);
});
