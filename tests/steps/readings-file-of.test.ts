import { describe, expect, it } from 'vitest';
import type { diagnose } from '../../src/faults/diagnose.js';
import type { Shown } from '../../src/logbook/entry.js';
import { parseReadingsFile } from '../../src/meter/readings-file.js';
import type { Assessment } from '../../src/steps/assessment.js';
import { readingsFileOf, readingsLeftOut } from '../../src/steps/readings-file-of.js';
import { jobAnswer, nextInJob } from '../../src/steps/suspects.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { jobOf, played, propose } from './played.js';

const whole = jobOf(played());
/** The same job as it stood before any power. */
const dead = jobOf(
  played(demoCircuit(), { until: (job) => job.readings.get('cord.hot')?.taken !== undefined }),
);

/** The job with one standing reading showing something else. */
function showing(id: string, shown: Shown, job: Assessment = whole): Assessment {
  const standing = job.readings.get(id)!;
  const taken = standing.taken!;
  const changed = { ...standing, taken: { ...taken, body: { ...taken.body, shown } } };
  return { ...job, readings: new Map([...job.readings, [id, changed]]) };
}

/** What the file says of a test between two points. */
function said(job: Assessment, from: string, to: string) {
  return readingsFileOf(job).readings.filter((r) => 'from' in r && r.from === from && r.to === to);
}

describe('the readings of a job, as the fault-finder has them', () => {
  it('are a readings file that the command takes', () => {
    expect(parseReadingsFile(JSON.stringify(readingsFileOf(whole)))).toMatchObject({ ok: true });
  });

  it('have the meter that showed the newest of them', () => {
    const ground = played().findLast(
      (e) => e.kind === 'reading taken' && e.subject.startsWith('reading:ground'),
    );
    if (ground?.kind !== 'reading taken' || ground.body.instrument?.volts === undefined) throw new Error();
    const volts = { ...ground.body.instrument.volts, percent: 0.3 };
    const finer = { ...ground.body, instrument: { ...ground.body.instrument, volts } };
    const { kind, subject } = ground;
    const again = jobOf(propose(played(), { kind, subject, body: finer }).entries);
    expect(readingsFileOf(again).meter.volts.percent).toBe(0.3);
    expect(readingsFileOf(whole).meter.volts.percent).not.toBe(0.3);
  });

  it('hold the volts at the supply and at the cord’s free end', () => {
    expect(said(whole, 'supply.hot', 'supply.neutral')).toMatchObject([{ test: 'voltage' }]);
    expect(said(whole, 'connector.hot', 'connector.neutral')).toMatchObject([{ test: 'voltage' }]);
  });

  it('leave the supply’s volts aside where the van pulls at it, since they were read before the cord went in', () => {
    const shorted = showing('isolation.hot-neutral.inlet', { kind: 'ohms', ohms: 2.1 });
    expect(said(shorted, 'supply.hot', 'supply.neutral')).toEqual([]);
    expect(readingsLeftOut(shorted).map((r) => r.planned.id)).toContain('supply.hot-neutral');
  });

  it('say that a voltage was read on the low-impedance range, whatever the meter is otherwise', () => {
    const pulled = showing('voltage.hot-neutral.press', { kind: 'volts', volts: 0.2, lowImpedance: true });
    expect(said(pulled, 'outlet2.hot', 'outlet2.neutral')).toMatchObject([{ volts: 0.2, inputOhms: 3000 }]);
  });

  it('leave a low-impedance reading to ground aside: it trips the device by itself', () => {
    const tripped = showing('voltage.hot-ground.press', { kind: 'volts', volts: 0, lowImpedance: true });
    expect(said(tripped, 'outlet2.hot', 'outlet2.ground')).toEqual([]);
    const skin =
      [...whole.readings.keys()].find((id) => whole.readings.get(id)?.planned.to === 'earth') ?? '';
    const { from = '' } = whole.readings.get(skin)?.planned ?? {};
    expect(said(whole, from, 'earth')).toHaveLength(1);
    const pulled = showing(skin, { kind: 'volts', volts: 0, lowImpedance: true });
    expect(said(pulled, from, 'earth')).toEqual([]);
    expect(readingsLeftOut(tripped)).toContainEqual(
      expect.objectContaining({ why: expect.stringContaining('trips a ground-fault device') }),
    );
  });

  it('lay what was read to prove the van dead to no other source that nobody has', () => {
    const why = readingsLeftOut(whole).filter((r) => r.planned.rule === 'absence-of-voltage');
    expect(why.map((r) => r.planned.id)).toContain('absence-of-voltage.inlet');
    for (const each of why) expect(each.why).toBe('it was taken dead, before the other dead tests');
  });

  it('leave over-limit on a range that ends early aside, where two conductors should be apart', () => {
    const early = { kind: 'ohms', ohms: null, rangeOhms: 2000 } as const;
    const joined = showing('isolation.hot-ground.inlet', early);
    expect(readingsLeftOut(joined).map((r) => r.planned.id)).toContain('isolation.hot-ground.inlet');
    expect(said(showing('bond', early), 'inlet.ground', 'chassis')).toContainEqual(
      expect.objectContaining({ ohms: null }),
    );
    expect(readingsLeftOut(showing('bond', early)).map((r) => r.planned.id)).not.toContain('bond');
  });

  it('leave aside what the electronics of a device may be all of, and keep a short', () => {
    const id = 'isolation.hot-neutral.inlet';
    const across = showing(id, { kind: 'ohms', ohms: 250_000 });
    expect(said(across, 'inlet.hot', 'inlet.neutral')).toEqual([]);
    expect(readingsLeftOut(across).map((r) => r.planned.id)).toContain(id);
    expect(jobAnswer(across).suspects).toEqual([]);
    expect(nextInJob(across, jobAnswer(across))).toBeUndefined();
    expect(said(showing(id, { kind: 'ohms', ohms: 40 }), 'inlet.hot', 'inlet.neutral')).toHaveLength(1);
  });

  it('say of each reading that they leave aside why', () => {
    const aside = readingsLeftOut(whole);
    expect(aside.every((r) => r.why.length > 10)).toBe(true);
    const used = readingsFileOf(whole).readings.length;
    expect(used + aside.length).toBe([...whole.readings.values()].filter((r) => r.taken).length);
    expect(aside.map((r) => r.planned.id)).toContain('no-glow');
  });
});

describe('the next reading in a job', () => {
  const answer = (nextReading: ReturnType<typeof diagnose>['nextReading']) => ({
    ...jobAnswer(showing('continuity.neutral.locker', { kind: 'ohms', ohms: null }, dead)),
    nextReading,
  });

  it('is the job’s own where the job has it, whichever way round it names the points', () => {
    const next = nextInJob(whole, answer({ test: 'resistance', from: 'chassis', to: 'inlet.ground' }));
    expect(next?.planned?.id).toBe('bond');
  });

  it('is said with what it would show under each leading suspect, where the job has none', () => {
    const next = nextInJob(dead, answer({ test: 'resistance', from: 'inlet.hot', to: 'outlet3.neutral' }))!;
    expect(next.planned).toBeUndefined();
    expect(next.wouldShow.flatMap((w) => w.suspects).length).toBeGreaterThan(0);
    expect(next.wouldShow.every((w) => w.value !== '' && w.suspects.length > 0)).toBe(true);
  });

  it('is none whose step has hand work of its own to do first', () => {
    const atFace = { test: 'resistance', from: 'outlet1.hot', to: 'outlet1.ground' } as const;
    expect(nextInJob(whole, answer(atFace))?.planned?.id).toBe('isolation.hot-ground.face.bench');
    const unfolded = jobOf(played(demoCircuit(), { until: (job) => job.next?.step.id === 'ground-path' }));
    expect(nextInJob(unfolded, answer(atFace))?.planned?.step).not.toBe('isolation-at-inlet');
  });

  it('is none with a load while the step that takes it is held: a ground or a pole may be wrong there', () => {
    const loaded = { test: 'loaded-voltage', from: 'outlet3.hot', to: 'outlet3.neutral', amps: 8 } as const;
    expect(nextInJob(whole, answer(loaded))?.test).toEqual(loaded);
    const atSlots = jobOf(played(demoCircuit(), { until: (job) => job.next?.step.id === 'slot-voltages' }));
    expect(atSlots.steps.get('under-load')?.status).toMatch(/held|waiting/);
    expect(nextInJob(atSlots, answer(loaded))?.test.test ?? 'resistance').toBe('resistance');
    const open = { test: 'voltage', from: 'outlet2.hot', to: 'outlet2.neutral' } as const;
    expect(nextInJob(atSlots, answer(open))?.test).toEqual(open);
  });

  it('is none with a load that the job has no reading for either: hot to ground under load at a slot that lost a pole', () => {
    const atSlots = jobOf(played(demoCircuit(), { until: (job) => job.next?.step.id === 'slot-voltages' }));
    const loaded = { test: 'loaded-voltage', from: 'outlet1.hot', to: 'outlet1.ground', amps: 8 } as const;
    expect(nextInJob(atSlots, answer(loaded))?.test.test ?? 'resistance').toBe('resistance');
  });

  it('is none in the van while its supply is not right: nothing is plugged in there to find out more', () => {
    const atSupply = jobOf(
      played(demoCircuit(), { until: (job) => job.next?.step.id === 'supply-measured' }),
    );
    const inVan = { test: 'voltage', from: 'outlet1.hot', to: 'earth' } as const;
    const next = nextInJob(atSupply, answer(inVan))?.test;
    expect(JSON.stringify(next ?? {})).not.toMatch(/"voltage".*outlet/);
    for (const later of [
      { test: 'voltage', from: 'chassis', to: 'earth' },
      { test: 'voltage', from: 'connector.hot', to: 'connector.ground' },
    ] as const)
      expect(nextInJob(atSupply, { ...answer(later), suspects: [] })).toBeUndefined();
    const slots = { test: 'voltage', from: 'supply.neutral', to: 'supply.ground' } as const;
    expect(nextInJob(atSupply, answer(slots))?.planned?.id).toBe('supply.neutral-ground');
  });

  it('is none with power once a reading says that what people touch is live', () => {
    const asked = {
      suspects: [],
      nextReading: { test: 'voltage', from: 'outlet1.hot', to: 'outlet1.neutral' },
    } as unknown as ReturnType<typeof diagnose>;
    expect(nextInJob(whole, asked)?.test).toEqual(asked.nextReading);
    const touched = [...whole.readings.values()].filter(({ planned: { rule } }) =>
      ['chassis-to-earth', 'absence-of-voltage', 'other-source'].includes(rule ?? ''),
    );
    expect(touched.length).toBeGreaterThan(3);
    for (const reading of touched) {
      const failed = [reading.planned.id, { ...reading, verdict: 'fail' as const }] as const;
      const job = { ...whole, readings: new Map([...whole.readings, failed]) };
      expect(nextInJob(job, asked), reading.planned.id).toBeUndefined();
    }
  });

  it('is none with power while a dead step before is open again, though the live ones were done', () => {
    const reopened = { kind: 'step reopened', subject: 'step:ground-path', body: { reason: 'x' } } as const;
    const job = jobOf(propose(played(), reopened).entries);
    expect(job.steps.get('slot-voltages')?.status).toBe('done');
    const asked = answer({ test: 'voltage', from: 'outlet1.hot', to: 'outlet1.neutral' });
    expect(nextInJob(whole, asked)?.test).toEqual(asked.nextReading);
    expect(nextInJob(job, asked)?.test.test ?? 'resistance').toBe('resistance');
  });

  it('is none where nothing parts what is left', () => {
    expect(nextInJob(whole, answer(null))).toBeUndefined();
  });
});

describe('a supply of more volts than any supply has', () => {
  const high = showing('supply.hot-neutral', { kind: 'volts', volts: 240, lowImpedance: false });

  it('names no wire of the van and asks for nothing more: what to ask first says that it is the supply', () => {
    const answer = jobAnswer(high);
    expect(answer.suspects).toEqual([]);
    expect(nextInJob(high, answer)).toBeUndefined();
    expect(answer.askFirst.map((a) => a.text).join()).toContain('keep the van away from it');
  });
});
