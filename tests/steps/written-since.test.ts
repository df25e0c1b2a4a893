import { describe, expect, it } from 'vitest';
import { disturbanceSchema, type Entry, entryKinds, type NewEntry } from '../../src/logbook/entry.js';
import { changesTheWork } from '../../src/steps/entry-kinds.js';
import { type Spoken, writtenSince } from '../../src/steps/written-since.js';
import { demoCircuit, type Patch } from '../circuit/demo-circuit.js';
import { jobOf, logOf, played } from './played.js';

const done = played();
const seen = done.length;
const place = demoCircuit().run[1]!.id;

/** The entry as another wrote it behind what was seen; of a body only what is looked at. */
function behind(kind: NewEntry['kind'], subject: string, body: object = {}, before = done): Entry {
  return { ...done.at(-1)!, seq: before.length + 1, kind, subject, body } as unknown as Entry;
}

/** Whether whoever is about to write `entry` is shown what was written meanwhile. */
const isShown = (later: Entry, entry: Spoken, before = done): boolean =>
  writtenSince(logOf([...before, later]), before.length, entry).length > 0;

const step = (id: string): Spoken => ({ kind: 'step done', subject: `step:${id}` });
const reading = (id: string): Spoken => ({ kind: 'reading taken', subject: `reading:${id}` });

describe('what was written meanwhile', () => {
  it('is shown to whoever speaks of the same, but for photos, which take nothing back', () => {
    const subject = `reading:ground-path.${place}`;
    for (const kind of ['reading taken', 'reading struck', 'defect raised', 'concession granted'] as const) {
      expect(isShown(behind(kind, subject), reading(`ground-path.${place}`)), kind).toBe(true);
      expect(isShown(behind(kind, subject), reading('ground-path.chassis')), kind).toBe(false);
    }
    const photo = behind('photo added', 'step:cut');
    expect(isShown(photo, step('cut'))).toBe(false);
    expect(isShown(behind('step reopened', 'step:cut'), { kind: 'photo added', subject: 'step:cut' })).toBe(
      false,
    );
    expect(writtenSince(logOf(done), seen, step('cut'))).toEqual([]);
  });

  it('is a mend wherever it opens a step or a reading again, and nowhere else', () => {
    for (const what of disturbanceSchema.shape.what.options) {
      const disturbs = [{ what, ...(what === 'conductor-relanded' ? { outlet: place } : {}) }];
      const mend = behind('defect reworked', 'place:a shelf', { defect: 1, found: 'x', done: 'y', disturbs });
      const after = jobOf([...done, mend]);
      for (const [id, { verdict }] of jobOf(done).readings)
        if (verdict !== 'missing')
          expect(isShown(mend, reading(id)), `${what} ${id}`).toBe(
            after.readings.get(id)?.verdict === 'missing',
          );
      for (const [id, { reopened, done: entry }] of after.steps)
        if (entry !== undefined) expect(isShown(mend, step(id)), `${what} ${id}`).toBe(reopened.length > 0);
    }
  });

  it('is another circuit wherever it opens a step or a reading again, or moves a line of the sheet or its limit', () => {
    const patches: Patch[] = [
      { 'run.1.feed.awg': 10 },
      { 'cord.lengthM': 12 },
      { 'run.1.torqueNm': 1.1 },
      { note: 'Painted.' },
    ];
    for (const patch of patches) {
      const changed = behind('circuit set', 'circuit', {
        circuit: demoCircuit(patch),
        rules: '',
        reason: 'x',
      });
      const after = jobOf([...done, changed]);
      for (const [id, { verdict, taken }] of jobOf(done).readings)
        if (taken !== undefined && verdict !== 'missing')
          expect(isShown(changed, reading(id)), id).toBe(after.readings.get(id)?.verdict === 'missing');
      for (const [id, { reopened, done: entry }] of after.steps)
        if (entry !== undefined) expect(isShown(changed, step(id)), id).toBe(reopened.length > 0);
      const lines = new Map(after.sheet.map(({ line }) => [line.id, line]));
      for (const { line } of jobOf(done).sheet) {
        const now = lines.get(line.id);
        const moved = now?.value !== line.value || now?.limit !== line.limit;
        const concession: Spoken = { kind: 'concession granted', subject: `sheet:${line.id}` };
        expect(isShown(changed, concession), line.id).toBe(moved);
      }
    }
    expect(
      isShown(behind('circuit set', 'circuit', { circuit: demoCircuit() }, []), step('cut'), []),
      'the first circuit of a job',
    ).toBe(true);
  });

  it('is whatever befell a reading of the step that a concession is to cover', () => {
    const conceded = [...jobOf(done).steps.values()]
      .map((standing) => standing.step)
      .find(({ concession, readings }) => concession === 'named-person' && readings.length > 0)!;
    const concession: Spoken = { kind: 'concession granted', subject: `step:${conceded.id}` };
    const subject = `reading:${conceded.readings[0]}`;
    const { seq } = done.findLast((e) => e.subject === subject) as Entry;
    expect(isShown(behind('defect raised', subject), concession)).toBe(true);
    expect(isShown(behind('instrument questioned', 'job', { entries: [seq] }), concession)).toBe(true);
    expect(isShown(behind('defect raised', subject), step(conceded.id))).toBe(false);
    expect(isShown(behind('defect raised', 'reading:cord.ground'), concession)).toBe(
      conceded.readings.includes('cord.ground'),
    );
  });

  it('is, for what is said of the whole job, what that would answer unread', () => {
    const job = (kind: NewEntry['kind'], later: NewEntry['kind']) =>
      isShown(behind(later, later === 'step done' ? 'step:cut' : 'job', { entries: [] }), {
        kind,
        subject: 'job',
      });
    const standing = ['job set aside', 'job taken up', 'job closed'] as const;
    for (const kind of standing) {
      for (const later of standing) expect(job(kind, later), `${kind}, ${later}`).toBe(true);
      expect(job(kind, 'reading taken')).toBe(kind === 'job closed');
    }
    for (const later of entryKinds.filter(changesTheWork)) {
      expect(job('second look signed', later), later).toBe(true);
      expect(job('record issued', later), later).toBe(true);
      expect(job('job closed', later), later).toBe(true);
      expect(job('job set aside', later), later).toBe(standing.some((kind) => kind === later));
      expect(job('record withdrawn', later), later).toBe(false);
    }
    for (const later of ['record issued', 'record withdrawn'] as const) {
      expect(job('record issued', later), later).toBe(true);
      expect(job('record withdrawn', later), later).toBe(true);
      expect(job('second look signed', later), later).toBe(false);
      expect(job('job closed', later), later).toBe(true);
    }
    expect(job('record issued', 'second look signed')).toBe(true);
    expect(job('job described', 'job described')).toBe(true);
    expect(job('job described', 'step done')).toBe(false);
  });
});
