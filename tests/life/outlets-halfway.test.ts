import fc from 'fast-check';
import { expect, test } from 'vitest';
import { demoScript } from '../../seed-demo/demo-script.js';
import { doneAs } from '../../seed-demo/play-job.js';
import { type Circuit, circuitSchema } from '../../src/circuit/circuit.js';
import type { Entry } from '../../src/logbook/entry.js';
import { foldJob } from '../../src/logbook/job-log.js';
import { recordDocument } from '../../src/record/document.js';
import { basisChanges, planOf } from '../../src/steps/plan-of.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { anyPhoto, jobOf, played, propose } from '../steps/played.js';
import { anyCircuit } from '../steps/random-circuit.js';

const change = (entries: readonly Entry[], circuit: Circuit, reason = 'The owner wished it.') => {
  const answer = propose(entries, {
    kind: 'circuit set',
    subject: 'job',
    body: { circuit, rules: rulesVersion, reason },
  });
  expect(answer.issues).toEqual([]);
  return answer.entries;
};
const without = (circuit: Circuit, id: string): Circuit =>
  circuitSchema.parse({
    ...circuit,
    run: circuit.run.filter((o) => o.id !== id),
    together: circuit.together
      .map((s) => ({ ...s, loads: s.loads.filter((l) => l.outlet !== id) }))
      .filter((s) => s.loads.length > 0),
  });
const fresh = (circuit: Circuit, id: string, place: string) => ({
  ...circuit.run.at(-1)!,
  id,
  place,
  loads: [],
});

/** What counted before a change and does not count after it. */
function lost(before: readonly Entry[], after: readonly Entry[]) {
  const [then, now] = [jobOf(before), jobOf(after)];
  const steps = [...then.steps.values()]
    .filter((s) => s.done !== undefined && s.reopened.length === 0)
    .flatMap((s) => {
      const standing = now.steps.get(s.step.id);
      return standing === undefined || standing.reopened.length > 0 || standing.done === undefined
        ? [s.step.id]
        : [];
    });
  const readings = [...then.readings.values()]
    .filter((r) => r.taken !== undefined)
    .flatMap((r) => (now.readings.get(r.planned.id)?.taken === undefined ? [r.planned.id] : []));
  return { steps, readings };
}

/** What a change of the circuit must touch by the plans alone: what is gone, and what stands on something else now. */
function touched(before: Circuit, after: Circuit) {
  const [then, now] = [planOf(before), planOf(after)];
  const of = (a: readonly { id: string; basis: Readonly<Record<string, string>> }[], b: typeof a) =>
    a
      .filter((x) => basisChanges(x.basis, b.find((y) => y.id === x.id)?.basis ?? { gone: 'yes' }).length > 0)
      .map((x) => x.id);
  return { steps: of(then.steps, now.steps), readings: of(then.readings, now.readings) };
}

const demo = demoCircuit();
const middle = demo.run[1]!.id;
const changes: readonly (readonly [string, Circuit])[] = [
  [
    'an outlet is added between the first two',
    { ...demo, run: [demo.run[0]!, fresh(demo, 'stove', 'galley'), ...demo.run.slice(1)] },
  ],
  [
    'an outlet is put first, behind the device no more',
    { ...demo, run: [{ ...demo.run[0]!, id: 'door', place: 'at the door', loads: [] }, ...demo.run] },
  ],
  ['the second outlet is taken out', without(demo, middle)],
  ['the last two change places', { ...demo, run: [demo.run[0]!, demo.run[2]!, demo.run[1]!] }],
  [
    'the length of one section is another',
    {
      ...demo,
      run: demo.run.map((o, k) => (k === 2 ? { ...o, feed: { ...o.feed, lengthM: o.feed.lengthM + 3 } } : o)),
    },
  ],
];

test.each(changes)(
  '%s: exactly what stands on it opens again, each saying why, and nothing is renamed',
  (_what, circuit) => {
    const before = played();
    const after = change(before, circuit);
    const gone = lost(before, after);
    const should = touched(demo, circuit);
    expect(gone.steps.sort()).toEqual(should.steps.filter((id) => jobOf(before).steps.get(id)?.done).sort());
    expect(gone.readings.sort()).toEqual(
      should.readings.filter((id) => jobOf(before).readings.get(id)?.taken).sort(),
    );
    expect(gone.steps.length).toBeGreaterThan(0);
    expect(gone.steps.length).toBeLessThan(jobOf(before).steps.size);
    const job = jobOf(after);
    for (const id of gone.steps) {
      const standing = job.steps.get(id);
      if (standing)
        expect([id, standing.reopened.join()]).toEqual([
          id,
          expect.stringMatching(/The circuit changed \(.+\)/),
        ]);
    }
    // The outlets that stay keep their identity, so what was done at them is still theirs.
    for (const o of demo.run.filter((o) => circuit.run.some((now) => now.id === o.id)))
      expect([...job.steps.keys()].filter((id) => id.endsWith(`.${o.id}`)).length).toBeGreaterThan(0);
    expect(after.slice(0, before.length)).toEqual(before);
  },
);

test('work at an outlet that is taken out stays in the logbook, and the record names it', () => {
  const before = played();
  const after = change(before, without(demo, middle), 'The press is sold.');
  const job = jobOf(after);
  const printed = JSON.stringify(
    recordDocument(job, {
      job: '2026-001',
      revision: 1,
      shop: 'Thimble Lane Vanworks',
      issuedAt: '2026-12-01T10:00:00Z',
      issuedBy: 'Ines Okafor',
      worksAlone: false,
      signature: { name: 'Ines Okafor', strokes: [] },
      fingerprint: '0'.repeat(64),
      rootFingerprint: '0'.repeat(64),
      rules: '2026.11',
      units: 'metric',
      zone: 'UTC',
    }),
  );
  expect(printed).toContain('Steps that are gone');
  expect(printed).toContain('the circuit no longer calls for it');
  const removed = jobOf(before).readings.get(`ground-path.${middle}`)!;
  expect(printed).toContain(`${removed.planned.code} ${removed.planned.title}`);
  const photos = before.filter((e) => e.kind === 'photo added' && e.subject.endsWith(`.${middle}`));
  for (const photo of photos) if (photo.kind === 'photo added') expect(printed).toContain(photo.body.photo);
  // Its identity is spent: a new outlet at the same place is another one.
  const again = propose(after, {
    kind: 'circuit set',
    subject: 'job',
    body: { circuit: demo, rules: rulesVersion, reason: 'It came back.' },
  });
  expect(again.ok).toBe(false);
});

test('over any circuit and any change of it, a step or a reading stops counting only where what it stands on is another', () => {
  const edit = fc.constantFrom('drop', 'swap', 'add', 'stretch', 'cord') as fc.Arbitrary<string>;
  fc.assert(
    fc.property(
      anyCircuit,
      fc.array(fc.tuple(edit, fc.nat(20)), { minLength: 1, maxLength: 3 }),
      (circuit, edits) => {
        let now = circuit;
        edits.forEach(([what, at], n) => {
          const k = at % now.run.length;
          const run = [...now.run];
          if (what === 'drop' && run.length > 1) run.splice(k, 1);
          if (what === 'swap' && k > 0) run.splice(k - 1, 2, now.run[k]!, now.run[k - 1]!);
          if (what === 'add' && run.length < 8)
            run.splice(k, 0, { ...now.run[k]!, id: `new${n}`, loads: [] });
          if (what === 'stretch')
            run[k] = {
              ...now.run[k]!,
              feed: { ...now.run[k]!.feed, lengthM: now.run[k]!.feed.lengthM / 2 + 0.1 },
            };
          now = circuitSchema.parse({
            ...now,
            run,
            together: [],
            ...(what === 'cord' ? { cord: { ...now.cord, lengthM: 7 } } : {}),
          });
        });
        const entries = everythingDone(circuit);
        const after = everythingDone(circuit, now);
        const gone = lost(entries, after);
        const should = touched(circuit, now);
        // A value that the circuit itself puts off its limit does not count to begin with.
        const then = jobOf(entries).steps;
        const counted = should.steps.filter(
          (id) => then.get(id)?.done && then.get(id)?.reopened.length === 0,
        );
        expect(gone.steps).toEqual(expect.arrayContaining(counted));
        expect(gone.steps.filter((id) => !should.steps.includes(id) && !asksOther(circuit, now, id))).toEqual(
          [],
        );
        const reasons = gone.steps.flatMap((id) => jobOf(after).steps.get(id)?.reopened ?? []);
        expect(reasons.filter((why) => why.includes('earlier rules'))).toEqual([]);
        expect(gone.readings.sort()).toEqual(should.readings.sort());
      },
    ),
    { numRuns: 25 },
  );
});

/** Whether a step asks something else of the one circuit than of the other: more things, or other limits. */
function asksOther(one: Circuit, other: Circuit, id: string): boolean {
  const [then, now] = [one, other].map((c) => planOf(c).steps.find((s) => s.id === id)?.asks);
  return JSON.stringify(then) !== JSON.stringify(now);
}

/** A logbook with every step done and every reading taken, past the gate: what stands is asked, not what may be written. */
function everythingDone(circuit: Circuit, changed?: Circuit): Entry[] {
  const plan = planOf(circuit);
  const script = { ...demoScript(circuit), photo: anyPhoto };
  const raw: [string, string, unknown][] = [
    ['circuit set', 'job', { circuit, rules: rulesVersion, reason: '' }],
    ...plan.steps
      .filter((s) => s.asks.some((a) => !a.optional))
      .map((s): [string, string, unknown] => [
        'step done',
        `step:${s.id}`,
        doneAs(s, foldJob([]), script, () => undefined),
      ]),
    ...plan.readings.map((r): [string, string, unknown] => [
      'reading taken',
      `reading:${r.id}`,
      { shown: { kind: 'answer', answer: true }, note: '' },
    ]),
    ...(changed
      ? [
          ['circuit set', 'job', { circuit: changed, rules: rulesVersion, reason: 'changed' }] as [
            string,
            string,
            unknown,
          ],
        ]
      : []),
  ];
  return raw.map(([kind, subject, body], k) => ({
    kind,
    subject,
    body,
    seq: k + 1,
    job: '2026-001',
    at: '2026-09-16T10:00:00.000Z',
    by: { id: 'ines', name: 'Ines Okafor' },
    key: `k-${k}`,
    previous: '',
    digest: '',
  })) as unknown as Entry[];
}
