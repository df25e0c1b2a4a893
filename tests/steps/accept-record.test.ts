import { expect, test } from 'vitest';
import { seal } from '../../src/logbook/chain.js';
import type { Entry, NewEntry } from '../../src/logbook/entry.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { demoCircuit } from '../circuit/demo-circuit.js';
import { checker, fitter, jobOf, played, propose } from './played.js';

const ready = played();
const signature = { name: 'Ines Okafor', strokes: [] };
const anyDigest = '0'.repeat(64);

function issue(entries: readonly Entry[], revision: number, head = entries.at(-1)?.digest ?? ''): NewEntry {
  const body = { revision, sha256: anyDigest, bytes: 1, head, fingerprint: anyDigest, signature };
  return { kind: 'record issued', subject: 'job', body: { ...body, worksAlone: false } };
}
const withdrawal = (revision: number): NewEntry => ({
  kind: 'record withdrawn',
  subject: 'job',
  body: { revision, reason: 'The wrong van in the photo.' },
});
const acknowledgement = (revision: number): NewEntry => ({
  kind: 'owner acknowledged',
  subject: 'job',
  body: { revision, signature: { name: 'Odile Brandt', strokes: [] } },
});
const owner = { id: 'owner', name: 'Odile Brandt', roles: [] };

const after = (entries: readonly Entry[], ...more: NewEntry[]) =>
  more.reduce((before, entry) => {
    const result = propose(before, entry, entry.kind === 'owner acknowledged' ? owner : fitter);
    if (!result.ok) throw new Error(result.issues.map(({ message }) => message).join(' '));
    return result.entries;
  }, entries);
const why = (entries: readonly Entry[], entry: NewEntry) =>
  propose(entries, entry, entry.kind === 'owner acknowledged' ? owner : fitter).issues.map((i) => i.message);

const first = after(ready, issue(ready, 1));
const second = after(first, issue(first, 2));

test('a record is issued of the logbook as it ends, under the next number, which no withdrawal gives back', () => {
  expect(why(ready, issue(ready, 1, ready.at(-2)?.digest))).toEqual([
    'An entry was made while the record was drawn: issue it again.',
  ]);
  expect(why(ready, issue(ready, 2))).toEqual(['The next revision is 1.']);
  const none = after(second, withdrawal(2), withdrawal(1));
  for (const number of [1, 2]) expect(why(none, issue(none, number))).toEqual(['The next revision is 3.']);
  expect(why(none, issue(none, 3))).toEqual([]);
});

test('no record is issued of a circuit whose sheet does not meet its limits, and each line says so by itself', () => {
  const body = {
    circuit: demoCircuit({ 'breaker.amps': 20 }),
    rules: rulesVersion,
    reason: 'Another breaker.',
  };
  const thin = after(ready, { kind: 'circuit set', subject: 'circuit', body });
  const unmet = jobOf(thin).sheet.filter(({ met }) => !met);
  expect(unmet.length).toBeGreaterThan(0);
  expect(why(thin, issue(thin, 1))).toEqual(
    expect.arrayContaining(unmet.map(({ line }) => `Sheet: ${line.title} does not meet its limit.`)),
  );
});

test('where a checker is named no record is issued without their second look, nor with one that is older than the work', () => {
  const { described, secondLooks } = jobOf(ready).log;
  const [look] = secondLooks;
  if (described === undefined || look === undefined) throw new Error('the job has no second look');
  const none: Entry[] = [];
  for (const entry of ready) if (entry.kind !== 'second look signed') none.push(seal(entry, none.at(-1)));
  expect(why(none, issue(none, 1))).toEqual([`${described.checker} has not signed the second look.`]);

  const told = (named: string) =>
    after(ready, { kind: 'job described', subject: 'job', body: { ...described, checker: named } });
  const older = told(described.checker);
  expect(why(older, issue(older, 1))).toEqual([expect.stringMatching(/it must be given again\.$/)]);
  const looked = propose(older, { kind: look.kind, subject: look.subject, body: look.body }, checker).entries;
  expect(why(looked, issue(looked, 1))).toEqual([]);
  for (const alone of [told(''), told(described.fitter)]) expect(why(alone, issue(alone, 1))).toEqual([]);
});

test('a revision is withdrawn once', () => {
  expect(why(after(second, withdrawal(1)), withdrawal(1))).toEqual(['This revision is withdrawn already.']);
  expect(why(second, withdrawal(3))).toEqual(['No such revision was issued.']);
});

test('an owner acknowledges the revision that stands, once, though it be an older one again', () => {
  expect(why(second, acknowledgement(1))).toEqual(['This revision no longer stands: ask for the newest.']);
  const acknowledged = after(second, acknowledgement(2));
  expect(why(acknowledged, acknowledgement(2))).toEqual(['This revision is acknowledged already.']);
  const older = after(acknowledged, withdrawal(2));
  expect(why(older, acknowledgement(2))).toEqual(['This revision no longer stands: ask for the newest.']);
  expect(why(older, acknowledgement(1))).toEqual([]);
});
