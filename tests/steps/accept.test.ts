import { expect, test } from 'vitest';
import { demoMeter } from '../../seed-demo/demo-script.js';
import {
  type Answer,
  type Entry,
  type EntryBody,
  type EntryKind,
  entryKinds,
  type NewEntry,
} from '../../src/logbook/entry.js';
import { roles } from '../../src/logbook/shop-entry.js';
import { accept } from '../../src/steps/accept.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { checker, fitter, jobOf, logOf, played, propose } from './played.js';

const circuit = demoCircuit();
const [first, second] = circuit.run as [(typeof circuit.run)[number], (typeof circuit.run)[number]];
const whole = played();
const readyForGround = played(circuit, { until: (job) => job.next?.step.id === 'ground-path' });
const fresh = whole.slice(0, 2);

function reading(
  id: string,
  shown: EntryBody<'reading taken'>['shown'],
  instrument: EntryBody<'reading taken'>['instrument'] = demoMeter,
): NewEntry {
  return {
    kind: 'reading taken',
    subject: `reading:${id}`,
    body: { shown, note: '', ...(shown.kind === 'answer' ? {} : { instrument }) },
  };
}
const ground = (ohms: number | null) =>
  reading(`ground-path.${second.id}`, { kind: 'ohms', ohms, rangeOhms: 40e6 });

function messages(result: { issues: readonly { message: string }[] }): string {
  return result.issues.map((i) => i.message).join(' ');
}

test('a reading that fails brings its defect along, with what it points to', () => {
  const result = propose(readyForGround, ground(null));
  expect(result.ok && result.written.map((e) => e.kind)).toEqual(['reading taken', 'defect raised']);
  const defect = result.entries.at(-1) as Extract<Entry, { kind: 'defect raised' }>;
  expect(defect.body.reading).toBe(result.entries.length - 1);
  expect(defect.body.suspects[0]?.text).toContain('Ground open');
});

test('while a dead reading is wrong, dead ones of later steps are taken too, to find the wire; nothing else is', () => {
  const pole = reading(`continuity.neutral.${second.id}`, { kind: 'ohms', ohms: null, rangeOhms: 40e6 });
  expect(messages(propose(readyForGround, pole))).toContain('Ground path to every outlet holds this');
  const failed = propose(readyForGround, ground(null)).entries;
  const traced = propose(failed, pole);
  expect(traced.ok && traced.written.map((e) => e.kind)).toEqual(['reading taken', 'defect raised']);
  const poles = jobOf(traced.entries).steps.get('poles-behind');
  expect(poles?.status).toBe('held');
  const live = reading('supply.hot-neutral', { kind: 'volts', volts: 120, lowImpedance: false });
  expect(propose(failed, live).ok).toBe(false);
  // A pinch in the fold would not show: the device is folded in at that very step.
  for (const at of ['inlet', `face.${first.id}`]) {
    const folded = reading(`isolation.hot-ground.${at}`, { kind: 'ohms', ohms: null, rangeOhms: 40e6 });
    expect(messages(propose(failed, folded))).toContain('Isolation on LOAD');
  }
  // What a mend disturbed is proven dead first.
  const disturbs = [{ what: 'conductor-relanded' as const, outlet: second.id }];
  const body = { defect: failed.at(-1)!.seq, found: 'x', done: 'y', disturbs };
  const subject = `reading:ground-path.${second.id}`;
  const mended = propose(failed, { kind: 'defect reworked', subject, body }).entries;
  expect(messages(propose(mended, pole))).toContain('Prove it dead holds this');
});

test('a dead reading that is wrong opens none behind hand work, none once it is mended, and nothing for a step’s defect', () => {
  const pole = reading(`continuity.neutral.${second.id}`, { kind: 'ohms', ohms: null, rangeOhms: 40e6 });
  const failed = propose(readyForGround, ground(null)).entries;
  const step = `step:prove-hand-work.${second.id}`;
  const loose = propose(failed, { kind: 'step reopened', subject: step, body: { reason: 'Not tugged.' } });
  expect(messages(propose(loose.entries, pole))).toContain('comes first');
  const mend = {
    defect: failed.at(-1)!.seq,
    ...{ found: 'Probe off.', done: 'Read again.' },
    disturbs: [{ what: 'nothing-touched' as const }],
  };
  const subject = `reading:ground-path.${second.id}`;
  const mended = propose(failed, { kind: 'defect reworked', subject, body: mend }).entries;
  const closed = propose(mended, ground(0.04)).entries;
  expect(jobOf(closed).defects.map((d) => d.status)).toEqual(['closed']);
  expect(messages(propose(closed, pole))).toContain('Ground path to every outlet holds this');
  const body = { what: 'Two probes were mixed up.', suspects: [] };
  const byHand = propose(readyForGround, { kind: 'defect raised', subject: 'step:ground-path', body });
  expect(jobOf(byHand.entries).defects).toHaveLength(1);
  expect(messages(propose(byHand.entries, pole))).toContain('Ground path to every outlet holds this');
});

test('while a dead reading is wrong, no reading with the trim on is taken', () => {
  const trimOn = played(circuit, { until: (job) => job.next?.step.id === 'trim-on-repeat' });
  const bond = reading('trim-on.bond', { kind: 'ohms', ohms: 0.05 });
  expect(messages(propose(trimOn, bond))).not.toContain('holds this');
  const failed = propose(trimOn, ground(null)).entries;
  expect(messages(propose(failed, bond))).toContain('Ground path to every outlet holds this');
});

test('a second pass without a rework leaves the defect open; a rework and a new pass close it', () => {
  const failed = propose(readyForGround, ground(null)).entries;
  const again = propose(failed, ground(0.04)).entries;
  expect(jobOf(again).defects[0]?.status).toBe('open');
  const defect = failed.at(-1)!.seq;
  const rework: NewEntry = {
    kind: 'defect reworked',
    subject: `reading:ground-path.${second.id}`,
    body: {
      defect,
      found: 'Pigtail out of its splice.',
      done: 'Spliced again.',
      disturbs: [{ what: 'conductor-relanded', outlet: second.id }],
    },
  };
  const mended = propose(again, rework).entries;
  expect(jobOf(mended).defects[0]?.status).toBe('reworked, to be tested again');
  expect(jobOf(mended).readings.get(`ground-path.${second.id}`)?.verdict).toBe('missing');
  expect(jobOf(mended).steps.get(`prove-hand-work.${second.id}`)?.status).not.toBe('done');
});

test('a defect of a reading closes with a pass after its mend: with none before it, and with nothing that is unproven', () => {
  const failed = propose(readyForGround, ground(null)).entries;
  const { subject } = ground(null);
  const mend: NewEntry = {
    kind: 'defect reworked',
    subject,
    body: { defect: failed.length, found: 'x', done: 'y', disturbs: [{ what: 'nothing-touched' }] },
  };
  const after = (...more: NewEntry[]) =>
    jobOf(more.reduce((entries, entry) => propose(entries, entry).entries, failed)).defects.map(
      (d) => d.status,
    );
  const toTest = ['reworked, to be tested again'];
  expect(after(ground(0.04), mend)).toEqual(toTest);
  expect(after(mend, ground(0.98))).toEqual(toTest);
  expect(after(mend, ground(null))).toEqual([...toTest, 'open']);
  expect(after(mend, ground(0.98), ground(0.04))).toEqual(['closed']);
});

test('a reading near its limit is unproven, not passed, and says what would prove it', () => {
  const { entries } = propose(readyForGround, ground(0.98));
  const standing = jobOf(entries).readings.get(`ground-path.${second.id}`);
  expect(standing?.verdict).toBe('unproven');
  expect(standing?.remarks.join()).toMatch(/low-ohm meter/);
});

test('over-limit on a range that stops short of the limit proves no isolation', () => {
  const until = played(circuit, { until: (job) => job.next?.step.id === 'isolation-at-inlet' });
  const { ok, entries } = propose(
    until,
    reading('isolation.hot-ground.inlet', { kind: 'ohms', ohms: null, rangeOhms: 200 }),
  );
  const id = [...jobOf(until).readings.keys()].filter((k) => k.startsWith('isolation'));
  expect(id).toContain('isolation.hot-ground.inlet');
  expect(ok).toBe(true);
  expect(jobOf(entries).readings.get('isolation.hot-ground.inlet')?.verdict).toBe('unproven');
});

/** A reading that failed, with its defect, and was struck as a slip. */
const struckAgain = (() => {
  const failed = propose(readyForGround, ground(null)).entries;
  const body = { reading: failed.length - 1, reason: 'The probe was in the wrong slot.' };
  return propose(failed, { kind: 'reading struck', subject: ground(null).subject, body }).entries;
})();

test('a slip is struck with its reason and closes the defect that it raised', () => {
  const failed = propose(readyForGround, ground(null)).entries;
  const seq = failed.at(-2)!.seq;
  const struck = propose(failed, {
    kind: 'reading struck',
    subject: `reading:ground-path.${second.id}`,
    body: { reading: seq, reason: 'The probe was in the wrong slot.' },
  });
  expect(struck.ok).toBe(true);
  expect(jobOf(struck.entries).defects[0]?.status).toBe('closed');
  expect(jobOf(struck.entries).readings.get(`ground-path.${second.id}`)?.verdict).toBe('missing');
  expect(
    messages(
      propose(struck.entries, {
        kind: 'reading struck',
        subject: `reading:ground-path.${second.id}`,
        body: { reading: seq, reason: 'again' },
      }),
    ),
  ).toMatch(/struck already/);
});

const out: [string, NewEntry, RegExp, typeof fitter?, (readonly Entry[])?][] = [
  [
    'a live reading before the dead tests',
    reading(`voltage.hot-neutral.${first.id}`, { kind: 'volts', volts: 120, lowImpedance: false }),
    /holds this|comes first/,
  ],
  [
    'a step of a later stage',
    { kind: 'step done', subject: 'step:inlet-torque', body: { answers: {} } },
    /holds this|comes first/,
  ],
  ['an unknown step', { kind: 'step done', subject: 'step:nothing', body: { answers: {} } }, /no such step/],
  ['an unknown reading', reading('ground-path.zzzz', { kind: 'ohms', ohms: 1 }), /no such reading/],
  ['a subject that is none', reading('', { kind: 'ohms', ohms: 1 }), /no such reading/],
  [
    'volts where ohms are asked',
    reading(`ground-path.${second.id}`, { kind: 'volts', volts: 1, lowImpedance: false }),
    /not what this reading asks/,
    fitter,
    readyForGround,
  ],
  [
    'a number without an instrument',
    {
      kind: 'reading taken',
      subject: `reading:ground-path.${second.id}`,
      body: { shown: { kind: 'ohms', ohms: 0.1 }, note: '' },
    },
    /which instrument/,
    fitter,
    readyForGround,
  ],
  [
    'a resistance beyond any meter',
    reading(`ground-path.${second.id}`, { kind: 'ohms', ohms: 5e12 }),
    /over 1000 MΩ/,
    fitter,
    readyForGround,
  ],
  [
    'a low-impedance reading hot to ground behind the device',
    reading(`voltage.hot-ground.${second.id}`, { kind: 'volts', volts: 120, lowImpedance: true }),
    /trips the ground-fault device/,
    fitter,
    whole,
  ],
  [
    'a concession for a ground path',
    {
      kind: 'concession granted',
      subject: `reading:ground-path.${second.id}`,
      body: { reason: 'It is only a little.' },
    },
    /No concession/,
    checker,
  ],
  [
    'a concession by the fitter where there is a checker',
    { kind: 'concession granted', subject: 'sheet:x', body: { reason: 'fine' } },
    /another person/,
    fitter,
  ],
  [
    'a concession for a line that needs none',
    {
      kind: 'concession granted',
      subject: `sheet:${jobOf(fresh).sheet[0]!.line.id}`,
      body: { reason: 'why not' },
    },
    /needs no concession/,
    checker,
  ],
  ...(
    [
      ['a step that is done', 'step:inlet-torque', /needs no concession/],
      ['a step that none may cover', 'step:absence-of-voltage', /No concession/],
      ['a step with a reading that none may cover', 'step:cord-alone', /No concession/],
      ['a reading that was not taken', 'reading:cord.hot', /taken and is unproven/],
      ['a place', 'place:inlet', /a line of the sheet, a step or a reading/],
      ['a step that is none', 'step:nothing', /no such step/],
      ['a reading that is none', 'reading:nothing', /no such reading/],
      ['a line that is none', 'sheet:nothing', /no such line/],
    ] as const
  ).map(([what, subject, why], k): (typeof out)[number] => [
    `a concession of ${what}`,
    { kind: 'concession granted', subject, body: { reason: 'As it is.' } },
    why,
    checker,
    k === 0 ? whole : fresh,
  ]),
  ...(
    [
      ['a step that is none', 'step:nothing', /no such step/],
      ['a reading that is none', 'reading:nothing', /no such reading/],
      ['a line that is none', 'sheet:nothing', /no such line/],
      ['nothing', 'nothing', /a step, a reading or a place/],
      ['a place of more letters than fit', `place:${'x'.repeat(115)}`, /at most 114 characters/],
    ] as const
  ).map(([what, subject, why]): (typeof out)[number] => [
    `a defect of ${what}`,
    { kind: 'defect raised', subject, body: { what: 'Cracked.', suspects: [] } },
    why,
  ]),
  [
    'a second look before the work is done',
    {
      kind: 'second look signed',
      subject: 'job',
      body: { statement: 'Looked.', signature: { name: 'Tam Whitlock', strokes: [] } },
    },
    /is not done/,
    checker,
  ],
  [
    'a record while steps are open',
    {
      kind: 'record issued',
      subject: 'job',
      body: {
        revision: 1,
        sha256: '0'.repeat(64),
        bytes: 1,
        head: '0'.repeat(64),
        fingerprint: '0'.repeat(64),
        signature: { name: 'Ines', strokes: [] },
        worksAlone: false,
      },
    },
    /is not done/,
  ],
  [
    'an acknowledgement of what was never issued',
    {
      kind: 'owner acknowledged',
      subject: 'job',
      body: { revision: 3, signature: { name: 'Odile Brandt', strokes: [] } },
    },
    /no longer stands/,
  ],
  [
    'a withdrawal of what was never issued',
    { kind: 'record withdrawn', subject: 'job', body: { revision: 2, reason: 'x' } },
    /No such revision/,
  ],
  [
    'a rework of no defect',
    {
      kind: 'defect reworked',
      subject: 'job',
      body: { defect: 2, found: 'x', done: 'y', disturbs: [{ what: 'nothing-touched' }] },
    },
    /no defect/,
  ],
  ...(
    [
      ['of another thing', readyForGround, 'place:a shelf', /about something else/],
      ['of one that is closed', struckAgain, `reading:ground-path.${second.id}`, /closed already/],
    ] as const
  ).map(([what, before, subject, why]): (typeof out)[number] => {
    const failed = before === struckAgain ? before : propose(before, ground(null)).entries;
    const { seq } = failed.findLast((e) => e.kind === 'defect raised') as Entry;
    const disturbs = [{ what: 'nothing-touched' as const }];
    const body = { defect: seq, found: 'x', done: 'y', disturbs };
    return [`a rework ${what}`, { kind: 'defect reworked', subject, body }, why, fitter, failed];
  }),
  ...(
    [
      [
        'at an outlet that is none',
        { what: 'conductor-relanded', outlet: 'attic' },
        /an outlet that this circuit does not have/,
      ],
      ['at no outlet', { what: 'conductor-relanded' }, /say at which outlet/],
    ] as const
  ).map(([where, disturbance, why]): (typeof out)[number] => {
    const failed = propose(readyForGround, ground(null)).entries;
    const body = { defect: failed.length, found: 'x', done: 'y', disturbs: [disturbance] };
    const { subject } = ground(null);
    return [
      `a conductor landed again ${where}`,
      { kind: 'defect reworked', subject, body },
      why,
      fitter,
      failed,
    ];
  }),
  [
    'a changed circuit without its reason',
    { kind: 'circuit set', subject: 'job', body: { circuit, rules: '2026.11', reason: '' } },
    /say why/,
    fitter,
    whole,
  ],
  [
    'a circuit changed without its reason once nothing but a step is done',
    { kind: 'circuit set', subject: 'job', body: { circuit, rules: '2026.11', reason: '' } },
    /say why/,
    fitter,
    whole.slice(0, whole.findIndex((e) => e.kind === 'step done') + 1),
  ],
  ...(
    [
      [
        'volts beyond any supply',
        `voltage.hot-neutral.${first.id}`,
        { kind: 'volts', volts: 1001, lowImpedance: false },
        /over 1000 V/,
      ],
      [
        'volts with a load beyond any supply',
        `loaded.hot-neutral.${second.id}`,
        { kind: 'loaded-volts', volts: 1001, amps: 8 },
        /over 1000 V/,
      ],
      [
        'a load beyond any receptacle',
        `loaded.hot-neutral.${second.id}`,
        { kind: 'loaded-volts', volts: 116, amps: 41 },
        /over 40 A/,
      ],
    ] as const
  ).map(([what, id, shown, why]): (typeof out)[number] => [what, reading(id, shown), why, fitter, whole]),
  ['taking up an open job', { kind: 'job taken up', subject: 'job', body: { reason: 'x' } }, /open already/],
  [
    'a step that asks nothing',
    { kind: 'step done', subject: 'step:slot-voltages', body: { answers: {} } },
    /asks nothing/,
    fitter,
    whole,
  ],
  [
    'opening again what is open again',
    { kind: 'step reopened', subject: 'step:inlet-torque', body: { reason: 'x' } },
    /not done/,
    fitter,
    propose(whole, { kind: 'step reopened', subject: 'step:inlet-torque', body: { reason: 'x' } }).entries,
  ],
  [
    'a strike in the name of another reading',
    {
      kind: 'reading struck',
      subject: `reading:ground-path.${first.id}`,
      body: { reading: whole.findLast((e) => e.subject === ground(1).subject)?.seq ?? 0, reason: 'x' },
    },
    /is about another reading/,
    fitter,
    whole,
  ],
  [
    'opening again what was never done',
    { kind: 'step reopened', subject: 'step:bond', body: { reason: 'x' } },
    /not done/,
  ],
];

test.each(out)('refuses %s and writes nothing', (_what, entry, why, by = fitter, entries = fresh) => {
  const result = propose(entries, entry, by);
  expect(result.ok).toBe(false);
  expect(messages(result)).toMatch(why);
  expect(result.entries).toBe(entries);
});

test('nothing is read or done while anything comes first, at any point of the work', () => {
  const context = { by: fitter, people: [fitter, checker] };
  for (let end = fresh.length; end < whole.length; end += 10) {
    const log = logOf(whole.slice(0, end));
    const barred = [...jobOf(log.entries).steps.values()].filter(
      ({ status }) => status === 'held' || status === 'waiting',
    );
    const later = whole.filter(
      ({ kind, subject }) =>
        (kind === 'step done' && barred.some(({ step }) => subject === `step:${step.id}`)) ||
        (kind === 'reading taken' &&
          barred.some(({ step }) => step.readings.some((id) => subject === `reading:${id}`))),
    );
    for (const entry of later) {
      const answer = accept(log, entry, context);
      expect(answer.ok ? [] : answer.issues, `entry ${entry.seq} at ${end}`).toContainEqual(
        expect.objectContaining({ message: expect.stringMatching(/holds this|comes first/) }),
      );
    }
  }
});

test('a step takes no answer that it does not ask, and no photo that the job does not have', () => {
  const photographed = whole.findLast(
    (e) => e.kind === 'step done' && Object.values(e.body.answers).some(({ kind }) => kind === 'photo'),
  ) as Extract<Entry, { kind: 'step done' }>;
  const { subject, body } = photographed;
  const withAnswers = (answers: Record<string, Answer>) =>
    messages(propose(whole, { kind: 'step done', subject, body: { ...body, answers } }));
  const elsewhere = { kind: 'photo' as const, photos: ['f'.repeat(64)] };
  const named = Object.entries(body.answers).map(([id, a]) => [id, a.kind === 'photo' ? elsewhere : a]);
  expect(withAnswers(body.answers)).toBe('');
  expect(withAnswers({ ...body.answers, 'was-fun': { kind: 'tick' } })).toBe('is not asked by this step');
  expect(withAnswers(Object.fromEntries(named))).toMatch(/names a photo that this job does not have/);
});

test('no figure is taken without the instrument that showed it', () => {
  const log = logOf(whole);
  for (const entry of whole) {
    if (entry.kind !== 'reading taken' || entry.body.instrument === undefined) continue;
    const { instrument: _none, ...body } = entry.body;
    const answer = accept(log, { ...entry, body }, { by: fitter, people: [fitter, checker] });
    expect(answer.ok ? '' : answer.issues[0]?.message, entry.subject).toMatch(/which instrument/);
  }
});

test('no step that none may concede is conceded, whatever is read in it', () => {
  const job = jobOf(fresh);
  const never = [...job.steps.values()].filter(
    ({ step, status }) => step.concession === 'never' && status !== 'done',
  );
  expect(never.some(({ step }) => step.readings.length === 0)).toBe(true);
  for (const { step } of never) {
    const body = { reason: 'x' };
    const result = propose(fresh, { kind: 'concession granted', subject: `step:${step.id}`, body }, checker);
    expect(messages(result), step.id).toMatch(/^No concession covers this/);
  }
});

test('no line of the sheet that none may concede is conceded, though it is not met', () => {
  const [device] = demoCircuit().run.slice(1);
  const bare = demoCircuit({ 'run.0.device': device?.device });
  const entries = played(bare).slice(0, 2);
  const never = jobOf(entries).sheet.filter(({ line, met }) => !met && line.concession === 'never');
  expect(never.map(({ line }) => line.title)).toContain('First behind the breaker');
  for (const { line } of never) {
    const body = { reason: 'x' };
    const result = propose(
      entries,
      { kind: 'concession granted', subject: `sheet:${line.id}`, body },
      checker,
    );
    expect(messages(result), line.id).toMatch(/^No concession covers this/);
  }
});

test('an outlet’s identity is not used again, wherever the new one stands', () => {
  const without = demoCircuit({ run: circuit.run.slice(1), together: [] });
  const set = (run: typeof circuit.run): NewEntry => ({
    kind: 'circuit set',
    subject: 'circuit',
    body: { circuit: { ...without, run }, rules: '2026.11', reason: 'Moved.' },
  });
  const gone = propose(whole, set(without.run)).entries;
  for (const run of [circuit.run, [...without.run, first]])
    expect(messages(propose(gone, set(run)))).toMatch(/a new outlet needs a new identity/);
  expect(propose(gone, set([...without.run, { ...first, id: 'another' }])).ok).toBe(true);
});

const mayWrite: Readonly<Record<EntryKind, string>> = {
  'job described': 'fitter keeper',
  'circuit set': 'fitter',
  'step done': 'fitter',
  'step reopened': 'fitter checker',
  'reading taken': 'fitter checker',
  'reading struck': 'fitter checker',
  'photo added': 'fitter checker',
  'defect raised': 'fitter checker',
  'defect reworked': 'fitter',
  'concession granted': 'checker keeper',
  'second look signed': 'checker',
  'record issued': 'fitter keeper',
  'record withdrawn': 'fitter keeper',
  'instrument questioned': 'keeper',
  'owner acknowledged': 'fitter checker keeper',
  'job set aside': 'fitter keeper',
  'job taken up': 'fitter keeper',
  'job closed': 'fitter keeper',
};

test('each entry is written by a person of its roles, and of a closed job none but what still concerns it', () => {
  const closed = logOf(propose(whole, { kind: 'job closed', subject: 'job', body: { reason: 'x' } }).entries);
  const body = { reason: 'x', revision: 9, instrument: { id: 'none' }, entries: [1] };
  const still = ['record withdrawn', 'instrument questioned', 'owner acknowledged', 'job taken up'];
  for (const kind of entryKinds)
    for (const role of roles) {
      const by = { ...checker, roles: [role] };
      const entry = { kind, subject: 'job', body } as unknown as NewEntry;
      const answer = accept(closed, entry, { by, people: [by] });
      const why = answer.ok ? '' : messages(answer);
      const wanted = !mayWrite[kind].includes(role)
        ? /^Tam Whitlock does not hold the role that this needs/
        : still.includes(kind)
          ? /^(?!Tam Whitlock|This job is closed)/
          : /^This job is closed: take it up again first/;
      expect(why, `${kind} by a ${role}`).toMatch(wanted);
    }
});

test('a defect of a step closes when the step is done again after its mend, and no sooner', () => {
  const subject = 'step:inlet-torque';
  const found: NewEntry = {
    kind: 'defect raised',
    subject,
    body: { what: 'A strand is out.', suspects: [] },
  };
  const raised = propose(whole, found).entries;
  const { body } = whole.findLast((e) => e.kind === 'step done' && e.subject === subject) as Extract<
    Entry,
    { kind: 'step done' }
  >;
  const mend: NewEntry = {
    kind: 'defect reworked',
    subject,
    body: {
      defect: raised.length,
      found: 'x',
      done: 'Cut and landed anew.',
      disturbs: [{ what: 'nothing-touched' }],
    },
  };
  const done: NewEntry = { kind: 'step done', subject, body };
  const after = (...more: NewEntry[]) => {
    const job = jobOf(more.reduce((entries, entry) => propose(entries, entry).entries, raised));
    return [job.defects.at(-1)?.status, job.steps.get('inlet-torque')?.status];
  };
  expect(after()).toEqual(['open', 'ready']);
  expect(after(done)).toEqual(['open', 'ready']);
  expect(after(done, mend)).toEqual(['reworked, to be tested again', 'ready']);
  expect(after(mend, { kind: 'step reopened', subject, body: { reason: 'x' } })).toEqual([
    'reworked, to be tested again',
    'ready',
  ]);
  expect(after(mend, done)).toEqual(['closed', 'done']);
});

test('a set-aside job takes nothing but being taken up', () => {
  const aside = propose(fresh, {
    kind: 'job set aside',
    subject: 'job',
    body: { reason: 'The van is on the road.' },
  }).entries;
  const photo: NewEntry = {
    kind: 'photo added',
    subject: 'job',
    body: { photo: '0'.repeat(64), original: '0'.repeat(64), caption: '', widthPx: 1, heightPx: 1 },
  };
  expect(messages(propose(aside, photo))).toMatch(/set aside/);
  const taken = propose(aside, { kind: 'job taken up', subject: 'job', body: { reason: 'It is back.' } });
  expect(propose(taken.entries, photo).ok).toBe(true);
});

test('one who works alone may grant what may be conceded, and the never-list holds for them too', () => {
  const alone = { ...fitter, roles: ['fitter', 'checker', 'keeper'] as const };
  const long = demoCircuit();
  long.cord.lengthM = 40;
  const entries = played(long).slice(0, 2);
  const missed = jobOf(entries).sheet.find((s) => !s.met && s.line.concession === 'named-person');
  expect(missed).toBeDefined();
  const granted = propose(
    entries,
    {
      kind: 'concession granted',
      subject: `sheet:${missed?.line.id}`,
      body: { reason: 'Only with the short cord until the new one comes.' },
    },
    alone,
    [alone],
  );
  expect(granted.ok).toBe(true);
  expect(jobOf(granted.entries).sheet.find((s) => s.line.id === missed?.line.id)?.met).toBe(true);
  const never = propose(
    readyForGround,
    { kind: 'concession granted', subject: `reading:ground-path.${second.id}`, body: { reason: 'x' } },
    alone,
    [alone],
  );
  expect(messages(never)).toMatch(/No concession/);
});

test('a value outside its limit is written down and raises a defect', () => {
  const entries = played(circuit, { until: (job) => job.next?.step.id === 'inlet-torque' });
  const step = jobOf(entries).steps.get('inlet-torque')!.step;
  const done = played(circuit).find(
    (e) => e.kind === 'step done' && e.subject === 'step:inlet-torque',
  ) as Extract<Entry, { kind: 'step done' }>;
  const ask = step.asks.find((a) => a.kind === 'value')!;
  const answers = {
    ...done.body.answers,
    [ask.id]: { ...(done.body.answers[ask.id] as Value), typed: '2', si: 2 * 0.1129848290276167 },
  };
  const photos = whole.filter(
    (e) => e.kind === 'photo added' && e.subject === 'step:inlet-torque',
  ) as NewEntry[];
  const withPhotos = photos.reduce(
    (log, { kind, subject, body }) => propose(log, { kind, subject, body } as NewEntry).entries,
    entries as readonly Entry[],
  );
  const result = propose(withPhotos, {
    kind: 'step done',
    subject: 'step:inlet-torque',
    body: { ...done.body, answers },
  });
  const more = result.ok ? result.written.map((e) => e.kind) : messages(result);
  expect(more).toEqual(['step done', 'defect raised']);
});

type Value = Extract<Answer, { kind: 'value' }>;

/** The torques of the inlet as they were written, with something changed. */
function inletTorque(change: (body: EntryBody<'step done'>) => EntryBody<'step done'>): NewEntry {
  const last = whole.findLast((e) => e.kind === 'step done' && e.subject === 'step:inlet-torque');
  if (last?.kind !== 'step done') throw new Error('the played job torques its inlet');
  return { kind: 'step done', subject: last.subject, body: change(last.body) };
}

const unnamed = (answers: EntryBody<'step done'>['answers']) =>
  Object.fromEntries(
    Object.entries(answers).map(([id, answer]) => {
      if (answer.kind !== 'value') return [id, answer];
      const { instrument: _driver, ...rest } = answer;
      return [id, rest];
    }),
  );

test.each<[string, (body: EntryBody<'step done'>) => EntryBody<'step done'>, RegExp]>([
  ['names no driver', ({ answers }) => ({ answers: unnamed(answers) }), /say which torque screwdriver/],
  [
    'names a driver whose calibration it does not keep',
    ({ answers }) => ({ answers }),
    /calibration of the torque screwdriver on that day was not written down/,
  ],
  [
    'names what is no driver',
    ({ answers, instruments }) => ({
      answers,
      instruments: instruments!.map((i) => ({ ...i, kind: 'multimeter' })),
    }),
    /is no torque screwdriver/,
  ],
])(
  'a torque held to a marking that %s is refused, and one that was taken before proves nothing',
  (_what, change, words) => {
    const entry = inletTorque(change);
    const refused = propose(whole, entry);
    expect(refused.ok ? '' : messages(refused)).toMatch(words);
    const taken = propose(whole, entry, fitter, [fitter, checker], true);
    const standing = jobOf(taken.entries).steps.get('inlet-torque');
    expect(standing?.status).not.toBe('done');
    expect(standing?.reopened.join()).toMatch(words);
  },
);

test('a torque by a driver whose calibration has run out leaves its step open, and one in time closes it', () => {
  const last = whole.findLast((e) => e.kind === 'step done' && e.subject === 'step:inlet-torque');
  if (last?.kind !== 'step done') throw new Error('the played job torques its inlet');
  const [driver] = last.body.instruments ?? [];
  if (driver === undefined) throw new Error('the played job keeps the driver with the step');
  const onceMore = (due: string | undefined) => {
    const instruments = [{ ...driver, due }];
    const { answers } = last.body;
    const again = propose(whole, {
      kind: 'step done',
      subject: last.subject,
      body: { answers, instruments },
    });
    return jobOf(again.entries).steps.get('inlet-torque');
  };
  const day = last.at.slice(0, 10);
  const before = new Date(Date.parse(day) - 2 * 86_400_000).toISOString().slice(0, 10);
  const late = onceMore(before);
  expect(late?.status).not.toBe('done');
  expect(late?.reopened.join()).toContain(
    `The calibration of ${driver.name}, serial ${driver.serial}, held until ${before}`,
  );
  expect(onceMore('2099-01-01')?.status).toBe('done');
  expect(onceMore(undefined)?.status).toBe('done');
});

test('a step keeps no instrument that nothing of it was measured with', () => {
  const last = whole.findLast((e) => e.kind === 'step done' && e.body.instruments !== undefined);
  if (last?.kind !== 'step done') throw new Error('the played job measures something in a step');
  const [first] = last.body.instruments ?? [];
  const instruments = [{ ...first!, id: 'another', name: 'Driver of the neighbour' }];
  const { answers } = last.body;
  expect(
    messages(propose(whole, { kind: 'step done', subject: last.subject, body: { answers, instruments } })),
  ).toMatch(/Driver of the neighbour/);
});

test('a three-lamp pattern that is right is noted and says what it cannot show; a wrong one points to suspects', () => {
  const right = propose(
    whole,
    reading(`lamps.${second.id}`, { kind: 'lamps', hotNeutral: true, hotGround: true, neutralGround: false }),
  );
  const standing = jobOf(right.entries).readings.get(`lamps.${second.id}`);
  expect(standing?.verdict).toBe('noted');
  expect(standing?.remarks.join()).toMatch(/van’s skin is live/);
  const wrong = propose(
    whole,
    reading(`lamps.${second.id}`, { kind: 'lamps', hotNeutral: true, hotGround: false, neutralGround: true }),
  );
  expect(wrong.ok && wrong.written.map((e) => e.kind)).toEqual(['reading taken', 'defect raised']);
  expect(jobOf(wrong.entries).barsIssue).not.toEqual([]);
  // Mended, its defect closes with the right pattern and not with a wrong one: lamps are never more than noted.
  const mended = propose(wrong.entries, {
    kind: 'defect reworked',
    subject: `reading:lamps.${second.id}`,
    body: {
      defect: wrong.entries.length,
      found: 'The tester sat askew.',
      done: 'Read again.',
      disturbs: [{ what: 'nothing-touched' }],
    },
  }).entries;
  const readAgain = (neutralGround: boolean) => {
    const shown = { kind: 'lamps', hotNeutral: true, hotGround: !neutralGround, neutralGround } as const;
    const job = jobOf(propose(mended, reading(`lamps.${second.id}`, shown)).entries);
    return job.defects.map((d) => d.status);
  };
  expect(readAgain(false)).toEqual(['closed']);
  expect(readAgain(true)).toEqual(['reworked, to be tested again', 'open']);
});

test('a second person is another than whoever writes the step, or the reason why there is none', () => {
  const until = played(circuit, { until: (job) => job.next?.step.id === 'everything-off' });
  const done = whole.find((e) => e.kind === 'step done' && e.subject === 'step:everything-off');
  if (done?.kind !== 'step done') throw new Error('the played job counts its clips');
  const witnessed = (name: string) =>
    propose(until, {
      kind: 'step done',
      subject: done.subject,
      body: { answers: { ...done.body.answers, witness: { kind: 'person', name } } },
    });
  const dotted = `${fitter.name}.\u200b`;
  for (const own of [fitter.name, ` ${fitter.name.toUpperCase()} `, fitter.name.replace(' ', '  '), dotted])
    expect(messages(witnessed(own))).toMatch(/is your own name: .*“alone”/);
  expect(witnessed(checker.name).ok).toBe(true);
  expect(witnessed('Alone: nobody else is in the yard; counted twice.').ok).toBe(true);
});
