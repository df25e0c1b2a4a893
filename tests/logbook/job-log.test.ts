import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Entry, entryBodies } from '../../src/logbook/entry.js';
import { foldJob, growJob, type JobLog } from '../../src/logbook/job-log.js';
import { played } from '../steps/played.js';

/** An entry of whatever kind about one of few subjects; what it names are entries before it, behind it, or none. */
const entry = fc.record({
  kind: fc.constantFrom(...Object.keys(entryBodies)),
  subject: fc.constantFrom('reading:a', 'reading:b', 'step:a', 'job'),
  body: fc.record({
    reading: fc.integer({ min: 1, max: 30 }),
    entries: fc.array(fc.integer({ min: 1, max: 30 }), { maxLength: 3 }),
    revision: fc.integer({ min: 1, max: 3 }),
    circuit: fc.constantFrom({ name: 'one' }, { name: 'two' }),
  }),
});
const logbook = fc
  .array(entry, { maxLength: 30 })
  .map((entries) => entries.map((e, k) => ({ ...e, seq: k + 1 })) as unknown as Entry[]);

/** With the order of what is sorted by subject, in which a record speaks of it. */
const inOrder = (log: JobLog) => ({ ...log, steps: [...log.steps], readings: [...log.readings] });

describe('a folded logbook', () => {
  it('is the same whether it was folded at once or grew, at whatever places', () => {
    fc.assert(
      fc.property(logbook, fc.array(fc.nat(30), { maxLength: 6 }), (entries, places) => {
        const cuts = [0, ...places.toSorted((a, b) => a - b), entries.length];
        const grown = cuts.reduce(
          (log, to, k) => growJob(log, entries.slice(cuts[k - 1] ?? 0, to)),
          foldJob([]),
        );
        expect(inOrder(grown)).toEqual(inOrder(foldJob(entries)));
      }),
      { numRuns: 2000 },
    );
  });

  it('leaves out the readings that are struck, and says by whom', () => {
    const entries = [
      { seq: 1, kind: 'reading taken', subject: 'reading:a', body: {} },
      { seq: 2, kind: 'reading taken', subject: 'reading:b', body: {} },
      { seq: 3, kind: 'reading taken', subject: 'reading:b', body: {} },
      { seq: 4, kind: 'reading struck', subject: 'reading:a', body: { reading: 1 } },
      { seq: 5, kind: 'reading struck', subject: 'reading:b', body: { reading: 2 } },
    ] as unknown as Entry[];
    const log = growJob(foldJob(entries.slice(0, 3)), entries.slice(3));
    expect([...log.readings]).toEqual([['reading:b', [entries[2]]]]);
    expect([...log.struck]).toEqual([
      [1, entries[3]],
      [2, entries[4]],
    ]);
  });

  it('grows without touching the log before, nor what the new entries say nothing of', () => {
    const entries = played();
    const last = entries.findLast((e) => e.kind === 'reading taken') as Entry;
    const before = foldJob(entries);
    const grown = growJob(before, [{ ...last, seq: entries.length + 1 }]);
    expect(before).toEqual(foldJob(entries));
    expect(grown.entries).toHaveLength(entries.length + 1);
    for (const [subject, taken] of before.readings)
      if (subject !== last.subject) expect(grown.readings.get(subject)).toBe(taken);
    for (const part of ['circuits', 'steps', 'struck', 'photos', 'reworks', 'questioned'] as const)
      expect(grown[part]).toBe(before[part]);
  });
});
