import { expect, test } from 'vitest';
import { foldJob } from '../../src/logbook/job-log.js';
import { assess } from '../../src/steps/assess.js';
import { readingMet } from '../../src/steps/assess-readings.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { checker, jobOf, played, propose } from './played.js';

const whole = played();

test('a job played to its end has nothing that bars its record', () => {
  expect(jobOf(whole).barsIssue).toEqual([]);
});

test('behind a 30 A inlet a cable of its own leads to the breaker, and thinner cable on to the receptacles', () => {
  const inletWire = { awg: 10, lengthM: 0.6, outsideDiameterMm: 12.5 };
  const thirty = { 'inlet.amps': 30, 'supply.amps': 30, 'cord.awg': 10 };
  const job = jobOf(played(demoCircuit({ ...thirty, inletWire })));
  expect(job.barsIssue).toEqual([]);
  const asks = (id: string) => job.steps.get(id)?.step.asks.map((a) => a.id);
  expect(asks('cable-read')).toContain('inlet-diameter');
  expect(asks('route-pulled')).toContain('tag-inlet-wire');
  expect(asks('supports')).toContain('held-inlet-wire');
  expect(asks('insulation-bare-cable')).toContain('hot-neutral-inlet-wire');
  // Without it no job behind such an inlet comes to an end: 12 AWG is too thin ahead of the breaker.
  const without = jobOf(played(demoCircuit(thirty)));
  expect(without.sheet.filter((s) => !s.met).map((s) => s.line.id)).toEqual(['ladder.wire-inlet']);
});

test('a log is assessed once, and a copy of it with other parts anew', () => {
  const log = foldJob(whole);
  const job = assess(log);
  expect(assess(log)).toBe(job);
  const closed = { ...log, standing: 'closed' } as const;
  expect(assess(closed)?.barsIssue.map(({ text }) => text)).toEqual(['The job is closed.']);
  expect(assess(log)?.barsIssue).toEqual([]);
});

test('at no point of the work is a live step ready before every dead reading passed', () => {
  let checked = 0;
  for (let length = 2; length <= whole.length; length += 3) {
    const job = jobOf(whole.slice(0, length));
    const dead = [...job.readings.values()].filter((r) => r.planned.stage === 'dead' && r.planned.required);
    if (dead.every(readingMet)) continue;
    const live = job.stages.find((s) => s.id === 'live')?.steps ?? [];
    expect(live.filter((s) => s.status === 'ready').map((s) => s.step.id)).toEqual([]);
    checked++;
  }
  expect(checked).toBeGreaterThan(20);
});

test('no step that cuts or drills is ready while the sheet misses a limit', () => {
  const circuit = demoCircuit();
  circuit.cord.lengthM = 55;
  const entries = played(circuit, { until: (job) => job.next === undefined });
  const job = jobOf(entries);
  expect(job.sheet.some((s) => !s.met)).toBe(true);
  const opening = job.stages.find((s) => s.id === 'opening')?.steps ?? [];
  expect(opening.filter((s) => s.status === 'ready' || s.status === 'done').map((s) => s.step.id)).toEqual(
    [],
  );
});

test('a changed feed opens again what it touches, says why, and leaves the rest done', () => {
  const circuit = demoCircuit();
  const second = circuit.run[1]!;
  second.feed = { ...second.feed, awg: 10 };
  const { ok, entries } = propose(whole, {
    kind: 'circuit set',
    subject: 'job',
    body: { circuit, rules: '2026.11', reason: 'The press draws more than its plate says.' },
  });
  expect(ok).toBe(true);
  const job = jobOf(entries);
  const reopened = [...job.steps.values()].filter((s) => s.reopened.length > 0);
  expect(reopened.map((s) => s.step.id)).toContain(`land.${second.id}`);
  expect(reopened.every((s) => s.reopened.join().includes('→'))).toBe(true);
  expect(job.steps.get('inlet-torque')?.status).toBe('done');
  expect(job.steps.get('template-marked')?.status).toBe('done');
  expect(job.readings.get(`ground-path.${second.id}`)?.verdict).toBe('missing');
  // Its other end is landed in the box ahead of it; nobody was at the bond.
  expect(job.readings.get(`ground-path.${circuit.run[0]!.id}`)?.verdict).toBe('missing');
  expect(job.readings.get('bond')?.verdict).toBe('pass');
  expect(job.barsIssue).not.toEqual([]);
});

const landedAnew: readonly [string, (circuit: ReturnType<typeof demoCircuit>) => void, string[]][] = [
  [
    'a receptacle of another rating',
    (c) => {
      c.run[1]!.amps = 20;
    },
    ['conductor-relanded:press'],
  ],
  [
    'a receptacle with other terminals',
    (c) => {
      c.run[1]!.terminals = 'binding-screw';
    },
    ['conductor-relanded:press'],
  ],
  [
    'a box of another material',
    (c) => {
      c.run[2]!.box.material = 'plastic';
    },
    ['conductor-relanded:locker'],
  ],
  [
    'another inlet',
    (c) => {
      c.inlet.amps = 20;
    },
    ['breaker-or-inlet-box-opened'],
  ],
  [
    'a cable of its own from the inlet to the breaker',
    (c) => {
      c.inletWire = { awg: 10, lengthM: 0.6, outsideDiameterMm: 12.5 };
    },
    ['breaker-or-inlet-box-opened'],
  ],
  [
    'another cable',
    (c) => {
      c.cable.strands = 'fine';
    },
    ['breaker-or-inlet-box-opened', 'conductor-relanded:bench', 'conductor-relanded:locker'],
  ],
];

test.each(landedAnew)(
  '%s was landed anew: what was read through it before counts no more',
  (_what, change, disturbers) => {
    const circuit = demoCircuit();
    change(circuit);
    const { entries } = propose(whole, {
      kind: 'circuit set',
      subject: 'job',
      body: { circuit, rules: '2026.11', reason: 'As it was built in the end.' },
    });
    const readings = [...jobOf(entries).readings.values()].filter((r) => r.all.length > 0);
    const through = readings.filter((r) => r.planned.disturbedBy.some((d) => disturbers.includes(d)));
    expect(through.length).toBeGreaterThan(10);
    expect(through.filter((r) => r.verdict !== 'missing').map((r) => r.planned.id)).toEqual([]);
    expect(readings.find((r) => r.planned.id === 'cord.hot')?.verdict).toBe('pass');
  },
);

test('renaming where an outlet stands opens nothing that was measured', () => {
  const circuit = demoCircuit();
  circuit.note = 'The customer asked for a copy of the drawing.';
  const { entries } = propose(whole, {
    kind: 'circuit set',
    subject: 'job',
    body: { circuit, rules: '2026.11', reason: 'A remark added.' },
  });
  const job = jobOf(entries);
  expect([...job.steps.values()].filter((s) => s.reopened.length > 0).map((s) => s.step.id)).toEqual([]);
});

test('a second look is spent by the next change of the work', () => {
  const reading = { kind: 'volts' as const, volts: 119.9, lowImpedance: false };
  const instrument = jobOf(whole).log.readings.values().next().value?.at(-1)?.body.instrument;
  const id = `voltage.hot-neutral.${demoCircuit().run[0]!.id}`;
  const { ok, entries } = propose(whole, {
    kind: 'reading taken',
    subject: `reading:${id}`,
    body: { shown: reading, note: '', instrument },
  });
  expect(ok).toBe(true);
  expect(
    jobOf(entries)
      .barsIssue.map(({ text }) => text)
      .join(),
  ).toContain(checker.name);
});
