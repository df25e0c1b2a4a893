import { describe, expect, it } from 'vitest';
import type { Disturbance } from '../../src/logbook/entry.js';
import { disturbedSteps, disturbs } from '../../src/steps/disturbances.js';
import { plannedReadings } from '../../src/steps/planned-readings.js';
import { stepsOf } from '../../src/steps/steps-of.js';
import { demoCircuit } from '../circuit/demo-circuit.js';

const demo = demoCircuit();
const readings = plannedReadings(demo);
const again = (disturbance: Disturbance): string[] =>
  readings.filter((r) => disturbs(demo, disturbance, r)).map((r) => r.id);

describe('a conductor landed again', () => {
  const list = again({ what: 'conductor-relanded', outlet: 'press' });

  it('opens the readings of its box and of every box behind it', () => {
    for (const o of ['press', 'locker'])
      expect(list).toEqual(
        expect.arrayContaining([
          `ground-path.${o}`,
          `continuity.hot.${o}`,
          `continuity.neutral.${o}`,
          `voltage.hot-neutral.${o}`,
          `dead-when-tripped.${o}`,
          `loaded.hot-neutral.${o}`,
        ]),
      );
    expect(list).toEqual(
      expect.arrayContaining([
        'isolation.neutral-ground.load.bench',
        'absence-of-voltage.inlet',
        'supply-holds',
      ]),
    );
  });

  it('leaves what stands ahead of it', () => {
    for (const id of [
      'ground-path.bench',
      'continuity.hot.bench',
      'voltage.hot-neutral.bench',
      'isolation.hot-ground.inlet',
      'bond',
      'cord.hot',
      'supply.hot-neutral',
    ])
      expect(list).not.toContain(id);
  });

  it('opens the torque and tug of its box, and what must be proven before anything is tested again', () => {
    expect(disturbedSteps(demo, { what: 'conductor-relanded', outlet: 'press' })).toEqual([
      'prove-hand-work.press',
      'absence-of-voltage',
      'everything-off',
      'ready-for-live',
      'trim-on-repeat',
      'trim-on-test',
    ]);
  });

  it('opens every box where it names none, or one that the circuit has no more', () => {
    const handWork = ['bench', 'press', 'locker'].map((o) => `prove-hand-work.${o}`);
    for (const outlet of [undefined, 'attic']) {
      expect(again({ what: 'conductor-relanded', outlet })).toEqual(
        expect.arrayContaining(['ground-path.bench', 'ground-path.press', 'ground-path.locker']),
      );
      expect(disturbedSteps(demo, { what: 'conductor-relanded', outlet })).toEqual(
        expect.arrayContaining([...handWork, 'line-load-looked-again']),
      );
    }
  });
});

describe('other mends', () => {
  it('touching the device opens every pole, isolation, reset, slot and TEST', () => {
    const list = again({ what: 'ground-fault-device-touched' });
    for (const r of readings.filter((x) =>
      ['continuity', 'polarity', 'ground-fault-device'].includes(x.rule),
    ))
      expect(list).toContain(r.id);
    // Its box is where the grounds of the run behind are spliced.
    for (const o of ['bench', 'press', 'locker']) expect(list).toContain(`ground-path.${o}`);
    expect(list).not.toContain('bond');
    expect(list).not.toContain('cord.hot');
  });

  it('touching the bond opens the bond, the skin and the absence of voltage', () => {
    const list = again({ what: 'bond-touched' }).filter((id) => !id.startsWith('absence-of-voltage.'));
    expect(list).toEqual(['bond', 'no-glow', 'chassis-to-earth', 'trim-on.bond']);
  });

  it('opening the inlet or the breaker’s box opens what runs through it, and the hand work there', () => {
    const mend = { what: 'breaker-or-inlet-box-opened' } as const;
    expect(again(mend)).toEqual(
      expect.arrayContaining([
        'absence-of-voltage.inlet',
        ...['ground-path.bench', 'ground-path.press', 'ground-path.locker', 'bond'],
        ...['continuity.hot.bench', 'continuity.neutral.bench'],
        ...['hot-ground', 'neutral-ground', 'hot-neutral'].map((pair) => `isolation.${pair}.inlet`),
        ...['chassis-to-earth', 'supply-holds', 'voltage.hot-neutral.bench', 'loaded.hot-neutral.locker'],
      ]),
    );
    for (const kept of [
      'cord.hot',
      'supply.hot-neutral',
      'isolation.hot-ground.load.bench',
      'continuity.hot.press',
    ])
      expect(again(mend)).not.toContain(kept);
    expect(disturbedSteps(demo, mend)).toEqual(
      expect.arrayContaining([
        'inlet-torque',
        'breaker-box',
        'breaker-first',
        'absence-of-voltage',
        'everything-off',
      ]),
    );
  });

  it('another cord opens the cord, its free end and the load', () => {
    const list = again({ what: 'cord-changed' });
    expect(list.filter((id) => !/^(cord|cord-end|loaded)\./.test(id))).toEqual([]);
    expect(list.length).toBe(7 + 3 + 6);
  });

  it('water opens isolation on all sides, the reset and TEST', () => {
    const list = again({ what: 'water-or-new-hole' });
    expect(list).toEqual(
      expect.arrayContaining([
        'isolation.hot-ground.inlet',
        'isolation.hot-ground.load.bench',
        'isolation.hot-ground.face.bench',
        'gfci-resets',
        'dead-when-tripped.locker',
      ]),
    );
    expect(disturbedSteps(demo, { what: 'water-or-new-hole' })).toContain('hose-test');
  });

  it('another supply opens what was measured at the supply, and nothing of the van but its skin', () => {
    const list = again({ what: 'supply-only' });
    expect(list.filter((id) => !/^(supply|cord-end)/.test(id))).toEqual([
      'no-glow',
      'chassis-to-earth',
      'loaded.supply',
    ]);
  });

  it('nothing touched opens nothing', () => {
    expect(again({ what: 'nothing-touched' })).toEqual([]);
    expect(disturbedSteps(demo, { what: 'nothing-touched' })).toEqual([]);
  });

  it('another device, cord or supply is looked at like the first', () => {
    expect(disturbedSteps(demo, { what: 'ground-fault-device-touched' })).toEqual(
      // Whether another one tests itself, and what it does without its neutral, is on its own label and leaflet.
      expect.arrayContaining(['device-chosen', 'line-load-read']),
    );
    // Which of two was touched is not said.
    const two = demoCircuit({ 'run.1.device': 'gfci-receptacle' });
    expect(disturbedSteps(two, { what: 'ground-fault-device-touched' })).toEqual(
      expect.arrayContaining(['prove-hand-work.bench', 'prove-hand-work.press', 'line-load-looked-again']),
    );
    expect(disturbedSteps(demo, { what: 'cord-changed' })).toEqual(
      expect.arrayContaining(['cord-alone', 'cord-end-measured', 'cord-and-spares', 'ready-for-live']),
    );
    expect(disturbedSteps(demo, { what: 'supply-only' })).toEqual(['supply-measured', 'ready-for-live']);
    expect(disturbedSteps(demo, { what: 'bond-touched' })).toContain('bond');
  });

  it('opens only steps that the circuit has', () => {
    const ids = new Set(stepsOf(demo).map((s) => s.id));
    for (const what of [
      'conductor-relanded',
      'ground-fault-device-touched',
      'bond-touched',
      'breaker-or-inlet-box-opened',
      'water-or-new-hole',
      'cord-changed',
      'supply-only',
    ] as const)
      for (const id of disturbedSteps(demo, { what, outlet: 'bench' })) expect(ids.has(id), id).toBe(true);
  });
});
