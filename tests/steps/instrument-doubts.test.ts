import { expect, test } from 'vitest';
import type { Entry, NewEntry } from '../../src/logbook/entry.js';
import { expiredText, givenBy, isMisdated } from '../../src/steps/instrument-doubts.js';
import { checker, jobOf, played, propose } from './played.js';

const whole = played();
const snapshots = whole.flatMap((e) =>
  e.kind === 'reading taken'
    ? (e.body.instrument ?? [])
    : e.kind === 'step done'
      ? (e.body.instruments ?? [])
      : [],
);
const instruments = [...new Map(snapshots.map((i) => [i.id, i])).values()];
const keeper = { ...checker, roles: ['keeper' as const] };

function finding(instrument: { id: string; name: string; serial: string }, entries: number[]): NewEntry {
  const { id, name, serial } = instrument;
  const body = { instrument: { id, name, serial }, from: '2026-01-01', reason: 'It fell.', entries };
  return { kind: 'instrument questioned', subject: 'job', body };
}

test('an instrument gave what names it, be it a reading or a value of a step, and nothing else', () => {
  expect(instruments.map(({ kind }) => kind)).toEqual(
    expect.arrayContaining(['multimeter', 'torque-driver']),
  );
  for (const { id } of instruments) {
    const named = whole.filter((e) => JSON.stringify(e.body).includes(`"instrument":"${id}"`));
    const showed = whole.filter((e) => e.kind === 'reading taken' && e.body.instrument?.id === id);
    expect(whole.filter((e) => givenBy(e, id))).toEqual(
      [...named, ...showed].toSorted((a, b) => a.seq - b.seq),
    );
  }
  expect(givenBy(undefined, instruments[0]!.id)).toBe(false);
});

test('a finding opens what its instrument gave, and is refused where it names what it did not give', () => {
  for (const instrument of instruments) {
    const given = whole.filter((e) => givenBy(e, instrument.id)).map(({ seq }) => seq);
    const questioned = propose(whole, finding(instrument, given), keeper);
    expect(questioned.ok).toBe(true);
    const job = jobOf(questioned.entries);
    for (const seq of given) {
      const { kind, subject } = whole[seq - 1]!;
      const id = subject.slice(subject.indexOf(':') + 1);
      if (kind === 'step done') expect(job.steps.get(id)?.status, subject).not.toBe('done');
      else expect(job.readings.get(id)?.verdict, subject).not.toBe('pass');
    }
    const stranger = whole.find((e) => !givenBy(e, instrument.id))!.seq;
    expect(propose(whole, finding(instrument, [...given, stranger]), keeper).issues).toEqual([
      { field: 'entries', message: `Entry ${stranger} holds nothing that this instrument gave.` },
    ]);
  }
});

test('what is dated before its instrument was calibrated proves nothing, of that instrument alone', () => {
  for (const instrument of instruments) {
    const given = whole.find((e) => givenBy(e, instrument.id)) as Entry;
    const early = { ...given, at: '2001-01-01T09:00:00.000Z' };
    expect([isMisdated(given, instrument.id), isMisdated(early, instrument.id)]).toEqual([false, true]);
    expect(isMisdated(early, 'another')).toBe(false);
    const held = { ...instrument, due: '2099-01-01' };
    expect(expiredText(given.at, held)).toBeUndefined();
    expect(expiredText(early.at, held)).toMatch(/nobody can tell whether its calibration still held/);
    expect(expiredText('2099-01-03T00:00:00.000Z', held)).toMatch(/held until 2099-01-01/);
  }
});
