import { expect, test } from 'vitest';
import { demoMeter, demoScript } from '../../seed-demo/demo-script.js';
import type { Script } from '../../seed-demo/play-job.js';
import type { Answer, Entry, EntryOf, NewEntry } from '../../src/logbook/entry.js';
import { foldJob, growJob } from '../../src/logbook/job-log.js';
import { assess } from '../../src/steps/assess.js';
import { readingMet } from '../../src/steps/assess-readings.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { checker, fitter, jobOf, played, propose } from './played.js';

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

test('what was read under a step that was wrong is read again once that is mended, though nothing was touched', () => {
  const subject = 'step:chassis-to-earth';
  const raised = propose(whole, {
    kind: 'defect raised',
    subject,
    body: { what: 'The rod stood in dry gravel.', suspects: [] },
  }).entries;
  expect(jobOf(raised).readings.get('chassis-to-earth')?.verdict).toBe('pass');
  const mended = propose(raised, {
    kind: 'defect reworked',
    subject,
    body: {
      defect: raised.length,
      found: 'No earth there.',
      done: 'Set in damp soil.',
      disturbs: [{ what: 'nothing-touched' }],
    },
  }).entries;
  const open = [...jobOf(mended).readings.values()].filter(
    (r) => r.verdict === 'missing' && r.all.length > 0,
  );
  expect(open.map((r) => r.planned.id)).toEqual(['no-glow', 'chassis-to-earth']);
  expect(open[0]?.remarks.join()).toContain(`the mend in entry ${mended.length}`);
});

test('one point that was live has all of it proven dead from the start, though nothing was touched', () => {
  const from = whole.findIndex((e) => e.kind === 'step done' && e.subject === 'step:absence-of-voltage');
  const before = whole.slice(0, from + 1);
  const subject = 'reading:absence-of-voltage.bench';
  const taken = before.findLast((e): e is EntryOf<'reading taken'> => e.subject === subject);
  const shown = { kind: 'volts' as const, volts: 61, lowImpedance: false };
  const live = propose(before, { kind: 'reading taken', subject, body: { ...taken!.body, shown } }).entries;
  const mended = propose(live, {
    kind: 'defect reworked',
    subject,
    body: {
      defect: live.length,
      found: 'The cord was in.',
      done: 'Pulled it.',
      disturbs: [{ what: 'nothing-touched' }],
    },
  }).entries;
  const { steps, readings } = jobOf(mended);
  expect(steps.get('absence-of-voltage')?.status).toBe('ready');
  const points = [...readings.values()].filter((r) => r.planned.step === 'absence-of-voltage');
  expect(points.map((r) => r.verdict)).toEqual(points.map(() => 'missing'));
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

/** The played job with the last answers of a step changed, as its gate may have taken them on another day. */
function writtenAs(id: string, change: (answers: Record<string, Answer>) => void): Entry[] {
  const last = whole.findLast((e) => e.kind === 'step done' && e.subject === `step:${id}`);
  return whole.map((entry) => {
    if (entry !== last || entry.kind !== 'step done') return entry;
    const answers = { ...entry.body.answers };
    change(answers);
    return { ...entry, body: { ...entry.body, answers } };
  });
}

test.each<[string, (answers: Record<string, Answer>) => void, RegExp]>([
  [
    'was not asked for a charger in a metal case',
    (a) => void delete a['charger-case'],
    /A charger or converter .*: needs a choice\.$/,
  ],
  [
    'took a choice that is refused today',
    (a) => void Object.assign(a, { 'charger-case': { kind: 'choice', value: 'not-bonded' } }),
    /Run 8 AWG .* first: when battery positive finds the case, the thin ground in its cord glows\.$/,
  ],
])('a step that %s is open again, bars the record, and says what is asked', (_what, change, words) => {
  const job = jobOf(writtenAs('bond', change));
  const bond = job.steps.get('bond');
  expect(bond?.status).toBe('ready');
  expect(bond?.reopened.join()).toMatch(words);
  expect(job.barsIssue.map(({ about }) => about)).toEqual([{ of: 'step', id: 'bond' }]);
});

test('a step that was asked for more than today is done all the same', () => {
  const job = jobOf(writtenAs('bond', (a) => void Object.assign(a, { 'of-another-day': { kind: 'tick' } })));
  expect(job.barsIssue).toEqual([]);
});

test('a value within the limits of its day and off today’s is no pass, though no defect was raised', () => {
  const job = jobOf(
    writtenAs(
      'van-dead',
      (a) => void Object.assign(a, { volts: { kind: 'value', si: 90, typed: '90', unit: 'V' } }),
    ),
  );
  expect(job.steps.get('van-dead')?.status).not.toBe('done');
  expect(job.steps.get('van-dead')?.reopened.join()).toMatch(/By today’s rules: Largest reading.* is over/);
});

test('a concession of a step covers no reading of it that none may cover', () => {
  const step = [...jobOf(whole).steps.values()].find(
    ({ step: { concession, readings } }) =>
      concession === 'named-person' &&
      readings.some((id) => jobOf(whole).readings.get(id)?.planned.concession === 'never'),
  )?.step;
  if (step === undefined) throw new Error('no step with such a reading may be conceded');
  const never = step.readings.find((id) => jobOf(whole).readings.get(id)?.planned.concession === 'never');
  const { id } = jobOf(whole).readings.get(never ?? '')!.planned;
  const without = whole.filter((e) => e.subject !== `reading:${id}`);
  const concession = { kind: 'concession granted', subject: `step:${step.id}`, body: { reason: 'By hand.' } };
  const last = whole.at(-1)!;
  const log = foldJob([...without, { ...last, ...concession, seq: last.seq + 1 } as Entry]);
  expect(assess(log)?.steps.get(step.id)?.status).not.toBe('done');
});

test('a concession of a step covers what stood when it was granted, and nothing that is found or opened there later', () => {
  const id = 'prove-hand-work.press';
  const subject = `step:${id}`;
  const disturbs = [{ what: 'conductor-relanded' as const, outlet: 'press' }];
  const statusOf = (entries: readonly Entry[]) => jobOf(entries).steps.get(id)?.status;
  const put = (entries: readonly Entry[], entry: NewEntry) =>
    propose(entries, entry, entry.kind === 'concession granted' ? checker : fitter).entries;
  const conceded: NewEntry = {
    kind: 'concession granted',
    subject,
    body: { reason: 'The old screws stay.' },
  };
  const found: NewEntry = {
    kind: 'defect raised',
    subject,
    body: { what: 'Neutral came out.', suspects: [] },
  };
  const elsewhere: NewEntry = {
    kind: 'defect raised',
    subject: 'place:outlet:press',
    body: { what: 'Cracked.', suspects: [] },
  };
  const mended = (defect: number): NewEntry => ({
    kind: 'defect reworked',
    subject: elsewhere.subject,
    body: { defect, found: 'x', done: 'Another device.', disturbs },
  });
  const opened: NewEntry = { kind: 'step reopened', subject, body: { reason: 'A screw is loose.' } };

  const before = played(demoCircuit(), { until: (job) => job.next?.step.id === id });
  const stands = put(before, conceded);
  expect(statusOf(stands)).toBe('done');
  expect(statusOf(put(stands, found))).toBe('ready');
  expect(statusOf(put(put(stands, found), conceded))).toBe('done');
  expect(statusOf(put(whole, found))).toBe('ready');
  expect(statusOf(put(put(whole, found), conceded))).toBe('done');
  const circuit = demoCircuit({ 'run.1.feed.awg': 10 });
  const changed = { circuit, rules: rulesVersion, reason: 'Thicker.' };
  expect(statusOf(put(stands, { kind: 'circuit set', subject: 'circuit', body: changed }))).not.toBe('done');
  const seen = put(stands, elsewhere);
  expect(statusOf(seen)).toBe('done');
  const relanded = put(seen, mended(seen.length));
  expect(statusOf(relanded)).toBe('ready');
  expect(jobOf(relanded).steps.get(id)?.reopened.join()).toBe(
    `Entry ${relanded.length} came after the concession in entry ${stands.length}: that covers this no longer.`,
  );

  const again = put(put(whole, opened), conceded);
  expect(statusOf(again)).toBe('done');
  const { body } = whole.findLast(
    (e) => e.kind === 'step done' && e.subject === subject,
  ) as EntryOf<'step done'>;
  expect(statusOf(put(put(again, { kind: 'step done', subject, body }), opened))).toBe('ready');
});

test('a concession covers what was known of an instrument when it was granted, and no later finding about it', () => {
  const done = whole.find((e) => e.kind === 'step done' && e.body.instruments !== undefined)!;
  const status = (entries: readonly Entry[]) => jobOf(entries).steps.get(done.subject.slice(5))?.status;
  const [instrument] = (done as EntryOf<'step done'>).body.instruments!;
  const { id, name, serial } = instrument!;
  const finding = (reason: string): NewEntry => {
    const body = { instrument: { id, name, serial }, from: '2026-09-01', reason, entries: [done.seq] };
    return { kind: 'instrument questioned', subject: 'job', body };
  };
  const doubted = propose(whole, finding('It read low.')).entries;
  expect(status(doubted)).not.toBe('done');
  const conceded: NewEntry = {
    ...{ kind: 'concession granted', subject: done.subject, body: { reason: 'A little low is borne.' } },
  };
  const borne = propose(doubted, conceded, checker);
  expect(borne.issues).toEqual([]);
  expect(status(borne.entries)).toBe('done');
  expect(status(propose(borne.entries, finding('It read low by a third.')).entries)).not.toBe('done');
});

test('a value that was measured after the calibration of its tool ran out opens its step, and says so', () => {
  const done = whole.find((e) => e.kind === 'step done' && e.body.instruments !== undefined)!;
  const withDue = (due: string) => {
    const changed = whole.map((e) => {
      if (e.seq !== done.seq || e.kind !== 'step done') return e;
      const instruments = e.body.instruments?.map((i) => ({ ...i, due }));
      return { ...e, body: { ...e.body, instruments } } as Entry;
    });
    return jobOf(changed).steps.get(done.subject.slice(5))!;
  };
  expect(withDue('2026-12-31').status).toBe('done');
  const over = withDue('2026-09-01');
  expect(over.status).not.toBe('done');
  expect(over.reopened.join()).toMatch(/^The calibration of .* held until 2026-09-01/);
});

test('what a mend disturbed counts again once it is done and read after it', () => {
  const { mishaps = {} } = demoScript(demoCircuit());
  // A step that the mend opened for ever would be done again for ever.
  const until: Script['until'] = ({ log }) => log.entries.length > whole.length + 50;
  const mended = jobOf(played(demoCircuit(), { mishaps, until }));
  expect(mended.log.reworks).toHaveLength(1);
  expect(mended.barsIssue).toEqual([]);
});

test('what was conceded and is done after all is conceded no longer', () => {
  const step = { id: 'cord-and-spares', subject: 'step:cord-and-spares' };
  const at = (entries: readonly Entry[]) => {
    const { status, concession } = jobOf(entries).steps.get(step.id)!;
    return [status, concession?.body.reason];
  };
  const begun = played(demoCircuit(), { until: (job) => job.next?.step.id === step.id });
  const reason = 'The spare comes by post.';
  const conceded = propose(
    begun,
    { kind: 'concession granted', subject: step.subject, body: { reason } },
    checker,
  ).entries;
  expect(at(conceded)).toEqual(['done', reason]);
  const done = whole.findLast((e) => e.kind === 'step done' && e.subject === step.subject)!;
  const photos = whole.filter((e) => e.kind === 'photo added' && e.subject === step.subject) as NewEntry[];
  const after = [...photos, done as NewEntry].reduce<readonly Entry[]>(
    (before, entry) => propose(before, entry).entries,
    conceded,
  );
  expect(at(after)).toEqual(['done', undefined]);
});

test('a defect of a step that asks nothing closes with its mend, and where it has readings, when they are taken again', () => {
  const raisedAt = (id: string) => {
    const subject = `step:${id}`;
    const found: NewEntry = { kind: 'defect raised', subject, body: { what: 'Seen wrong.', suspects: [] } };
    const raised = propose(whole, found).entries;
    const disturbs = [{ what: 'nothing-touched' as const }];
    const body = { defect: raised.length, found: 'x', done: 'y', disturbs };
    return propose(raised, { kind: 'defect reworked', subject, body }).entries;
  };
  const asking = [...jobOf(whole).steps.values()].filter((s) => s.step.asks.length === 0);
  for (const { step } of asking.filter((s) => s.step.readings.length === 0))
    expect(jobOf(raisedAt(step.id)).defects[0]?.status, step.id).toBe('closed');

  let log = foldJob(raisedAt('breaker-on'));
  const stands = () => [assess(log)?.defects[0]?.status, assess(log)?.steps.get('breaker-on')?.status];
  for (const id of ['supply-holds', 'gfci-resets']) {
    expect(stands()).toEqual(['reworked, to be tested again', 'ready']);
    const taken = whole.findLast((e) => e.kind === 'reading taken' && e.subject === `reading:${id}`);
    const again = { ...taken, seq: log.entries.length + 1 } as Entry;
    const grown = growJob(log, [again]);
    assess(grown, log);
    log = grown;
  }
  expect(stands()).toEqual(['closed', 'done']);
});

test('a reading that failed and reads right the next time, with nothing mended, opens nothing that is live', () => {
  const ready = played(demoCircuit(), { until: (job) => job.next?.step.id === 'breaker-on' });
  const subject = 'reading:ground-path.press';
  const ground = (ohms: number | null): NewEntry => ({
    kind: 'reading taken',
    subject,
    body: { shown: { kind: 'ohms', ohms, rangeOhms: 40e6 }, note: '', instrument: demoMeter },
  });
  const put = (entries: readonly Entry[], entry: NewEntry) => propose(entries, entry).entries;
  const statuses = (entries: readonly Entry[]) =>
    ['ground-path', 'breaker-on'].map((id) => jobOf(entries).steps.get(id)?.status);
  expect(statuses(ready)).toEqual(['done', 'ready']);
  const loose = put(put(ready, ground(null)), ground(0.04));
  expect(jobOf(loose).readings.get('ground-path.press')?.verdict).toBe('pass');
  expect(statuses(loose)).toEqual(['ready', 'held']);
  const told = (entries: readonly Entry[]) => jobOf(entries).steps.get('ground-path')?.reopened.join();
  expect(told(loose)).toMatch(/^The defect in entry \d+ \(Ground: .+\) is not mended yet\.$/);
  const live: NewEntry = {
    kind: 'reading taken',
    subject: 'reading:supply-holds',
    body: { shown: { kind: 'answer', answer: true }, note: '' },
  };
  expect(propose(loose, live).ok).toBe(false);

  const disturbs = [{ what: 'nothing-touched' as const }];
  const defect = ready.length + 2;
  const mend: NewEntry = {
    kind: 'defect reworked',
    subject,
    body: { defect, found: 'x', done: 'y', disturbs },
  };
  const slip: NewEntry = {
    kind: 'reading struck',
    subject,
    body: { reading: ready.length + 1, reason: 'The probe was in the wrong slot.' },
  };
  expect(statuses(put(loose, mend))).toEqual(['ready', 'held']);
  expect(told(put(loose, mend))).toMatch(/ is mended: take that reading again\.$/);
  expect(statuses(put(put(loose, mend), ground(0.04)))).toEqual(['done', 'ready']);
  expect(statuses(put(loose, slip))).toEqual(['done', 'ready']);
});

const bond = 'reading:bond';
const ohmsOf = (ohms: number, instrument: EntryOf<'reading taken'>['body']['instrument'] = demoMeter) =>
  ({
    kind: 'reading taken',
    subject: bond,
    body: { shown: { kind: 'ohms', ohms }, note: '', instrument },
  }) as NewEntry;
const foundWrong = (entry: number): NewEntry => {
  const { id, name, serial } = demoMeter;
  const body = {
    instrument: { id, name, serial },
    from: '2026-09-01',
    reason: 'It reads low.',
    entries: [entry],
  };
  return { kind: 'instrument questioned', subject: 'job', body };
};
const readingIn = (entries: readonly Entry[], id = 'bond') => jobOf(entries).readings.get(id)!;

test('what failed by an instrument that is found out of true fails still, until it is read again', () => {
  const failed = propose(whole, ohmsOf(5)).entries;
  expect(readingIn(failed).verdict).toBe('fail');
  // The defect that it brought stands behind it.
  const doubted = propose(failed, foundWrong(failed.length - 1)).entries;
  expect(readingIn(doubted)).toMatchObject({ verdict: 'fail' });
  expect(readingIn(doubted).remarks[0]).toMatch(/^No longer proven: /);
});

test('a concession covers an unproven reading only where one may, and no later finding about its instrument', () => {
  const granted = (subject: string): NewEntry => ({
    ...{ kind: 'concession granted', subject, body: { reason: 'The finer meter is away.' } },
  });
  const { ohms: _ohms, ...unknown } = demoMeter;
  const unproven = propose(whole, ohmsOf(0.04, unknown)).entries;
  expect(readingIn(unproven)).toMatchObject({ verdict: 'unproven', planned: { concession: 'never' } });
  // A gate of an earlier day may have let it in.
  const sealed = propose(unproven, granted(bond), checker, [fitter, checker], true);
  expect(sealed.issues).toEqual([]);
  expect(readingIn(sealed.entries).concession).toBeUndefined();

  const id = `loaded.hot-neutral.${demoCircuit().run.at(-1)!.id}`;
  const shown = { kind: 'loaded-volts', volts: 116, amps: 4 } as const;
  const body = { shown, note: '', instrument: demoMeter };
  const small = propose(whole, { kind: 'reading taken', subject: `reading:${id}`, body }).entries;
  expect(readingIn(small, id)).toMatchObject({ verdict: 'unproven' });
  const covered = propose(small, granted(`reading:${id}`), checker).entries;
  expect(readingIn(covered, id).concession).toBeDefined();
  const doubted = propose(covered, foundWrong(small.length)).entries;
  expect(readingIn(doubted, id)).toMatchObject({ verdict: 'unproven' });
  expect(readingIn(doubted, id).concession).toBeUndefined();
});

test('a defect that lamps brought closes with the right lamps after its mend, and not with the wrong ones again', () => {
  const subject = `reading:lamps.${demoCircuit().run[0]!.id}`;
  const lit = (hotGround: boolean): NewEntry => {
    const shown = { kind: 'lamps', hotNeutral: true, hotGround, neutralGround: false } as const;
    return { kind: 'reading taken', subject, body: { shown, note: '' } };
  };
  const wrong = propose(whole, lit(false)).entries;
  const status = (entries: readonly Entry[]) => jobOf(entries).defects.map((d) => d.status);
  expect(status(wrong)).toEqual(['open']);
  const disturbs = [{ what: 'nothing-touched' as const }];
  const body = { defect: wrong.length, found: 'A loose tester.', done: 'Pushed home.', disturbs };
  const mended = propose(wrong, { kind: 'defect reworked', subject, body }).entries;
  const again = 'reworked, to be tested again';
  expect([status(mended), status(propose(mended, lit(false)).entries)[0]]).toEqual([[again], again]);
  expect(status(propose(mended, lit(true)).entries)).toEqual(['closed']);
});
