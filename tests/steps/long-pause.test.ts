import { expect, test } from 'vitest';
import { beforePause, supplyOfBefore } from '../../src/steps/long-pause.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { jobOf, played } from './played.js';

const hoursAfter = (at: string, hours: number) => new Date(Date.parse(at) + hours * 3_600_000).toISOString();

test('what was proven dead is proven again after a pause, and not while the work goes on', () => {
  const job = jobOf(played(demoCircuit(), { until: (j) => j.next?.step.id === 'poles-behind' }));
  const newest = [...job.readings.values()]
    .flatMap((r) => r.taken?.at ?? [])
    .sort()
    .at(-1)!;
  expect(beforePause(job, 'dead', hoursAfter(newest, 3.9))).toBeUndefined();
  expect(beforePause(job, 'dead', hoursAfter(newest, 72))).toMatchObject({
    step: { id: 'absence-of-voltage' },
    at: job.steps.get('absence-of-voltage')?.done?.at,
  });
  const last = beforePause(job, 'dead', hoursAfter(newest, 72))?.last ?? '';
  expect(beforePause(job, 'dead', hoursAfter(last, 4))).toBeUndefined();
  expect(beforePause(job, 'dead', hoursAfter(last, 4.01))).toBeDefined();
  // Nothing is made ready yet, and hand work leans on no proof of an hour.
  expect(beforePause(job, 'live', hoursAfter(newest, 72))).toBeUndefined();
  expect(beforePause(job, 'terminations', hoursAfter(newest, 72))).toBeUndefined();
});

test('who helps, the weather and the ground are made sure of again before the live tests go on', () => {
  const job = jobOf(played(demoCircuit(), { until: (j) => j.next?.step.id === 'slot-voltages' }));
  const ready = job.steps.get('ready-for-live')?.done?.at as string;
  expect(beforePause(job, 'live', hoursAfter(ready, 72))?.step.id).toBe('ready-for-live');
});

test('a form that waited on a phone is no work at the hour in which it arrived', () => {
  const entries = played(demoCircuit(), { until: (j) => j.next?.step.id === 'poles-behind' });
  const newest = entries.at(-1)!;
  const arrived = { ...newest, at: hoursAfter(newest.at, 20), filledIn: newest.at };
  const job = jobOf([...entries.slice(0, -1), arrived]);
  expect(beforePause(job, 'dead', hoursAfter(arrived.at, 0.1))).toMatchObject({ last: newest.at });
});

test('where the clock was set back nobody can tell how long the pause was, until something is done by the clock of now', () => {
  const entries = played(demoCircuit(), { until: (j) => j.next?.step.id === 'poles-behind' });
  const newest = entries.at(-1)!;
  const now = hoursAfter(newest.at, -24 * 365);
  expect(beforePause(jobOf(entries), 'dead', now)).toMatchObject({
    step: { id: 'absence-of-voltage' },
    last: undefined,
  });
  const job = jobOf([...entries.slice(0, -1), { ...newest, at: hoursAfter(now, -0.1) }]);
  expect(beforePause(job, 'dead', now)).toBeUndefined();
});

test('a supply that was measured before a pause is measured again, once the place is made ready after it', () => {
  const entries = played(demoCircuit(), { until: (j) => j.next?.step.id === 'slot-voltages' });
  const at = (job: ReturnType<typeof jobOf>) => job.steps.get('supply-measured')?.done?.at as string;
  const readyAgain = (hours: number) => {
    const ready = entries.findLast((e) => e.subject === 'step:ready-for-live')!;
    const again = { ...ready, seq: entries.length + 1, at: hoursAfter(at(jobOf(entries)), hours) };
    return supplyOfBefore(jobOf([...entries, again])).map((s) => s.id);
  };
  expect(supplyOfBefore(jobOf(entries))).toEqual([]);
  expect(readyAgain(3.9)).toEqual([]);
  expect(readyAgain(24 * 30)).toEqual(['supply-measured', 'cord-end-measured', 'chassis-to-earth']);
});
