import type { FastifyRequest } from 'fastify';
import { expect, test } from 'vitest';
import type { Entry, NewEntry } from '../../../src/logbook/entry.js';
import type { Shop } from '../../../src/logbook/fold-shop.js';
import type { JobLog } from '../../../src/logbook/job-log.js';
import { noteDrawn, seenBy, seenOn } from '../../../src/web/page/drawn-from.js';
import { refuseUnseen, refuseWrittenAfter } from '../../../src/web/page/meanwhile.js';
import { refuseChanged } from '../../../src/web/page/shop-meanwhile.js';
import { fitter, logOf, played } from '../../steps/played.js';

const entries = played(undefined, { until: (job) => job.stage === 'cable' });
const log = logOf(entries);
const now = Date.parse(entries.at(-1)!.at) + 60_000;

const markOf = (of: JobLog) => {
  const request = {} as FastifyRequest;
  noteDrawn(request, of);
  return request.drawnFrom as string;
};

/** A form that this person sends now, with what it carries. */
function form(body: Record<string, string>, id = fitter.id): FastifyRequest {
  const store = { shop: { state: () => ({ zone: 'UTC' }) } };
  const services = { clock: () => new Date(now), store };
  return {
    body,
    url: '/people/per',
    person: { id },
    drawnFrom: markOf(log),
    server: { services },
  } as unknown as FastifyRequest;
}

test('a form says what its page was drawn from; a number that this logbook has not reached says nothing', () => {
  expect(
    [{}, { _seen: '3' }, { _seen: '99999' }, { _seen: '-1' }, { _seen: '3 or 4' }].map((b) =>
      seenBy(form(b as never), log),
    ),
  ).toEqual([entries.length, 3, 0, 0, 0]);
});

// A shop that was brought back from a backup goes on in another way, and gives its next job a number that a lost one had.
test('a form of a page of a logbook that went on in another way is told all that was written; one of another job is refused once', () => {
  const fork = logOf([...entries.slice(0, -1), { ...entries.at(-1)!, digest: 'f'.repeat(64) }]);
  expect([markOf(log), markOf(fork)].map((_seen) => seenBy(form({ _seen }), log))).toEqual([
    entries.length,
    0,
  ]);
  expect(refused({ _seen: markOf(fork) }, 'another')).toMatch(/^Ines Okafor wrote meanwhile /);
  const other = logOf([{ ...entries[0]!, digest: 'e'.repeat(64) }, ...entries.slice(1)]);
  const request = form({ _seen: markOf(other) });
  expect(
    refuseUnseen(request, log, [{ kind: 'photo added', subject: 'job' } as NewEntry])?.issues[0]?.message,
  ).toMatch(/^This form was filled in for another job, which had the number 2026-001 before .*: Marginalia/);
  expect(seenOn(request, true)).toBe(markOf(log));
  expect(refused({ _seen: seenOn(request, true) as string })).toBeUndefined();
});

test('a page that comes back keeps its number until it has told what is new', () => {
  const request = form({ _seen: '3' });
  expect([seenOn(request, false), seenOn(request, true), seenOn(request, true, '7')]).toEqual([
    markOf(log),
    '3',
    '7',
  ]);
  request.meanwhile = [];
  expect(seenOn(request, true)).toBe(markOf(log));
  expect(seenOn({ ...request, drawnFrom: undefined } as FastifyRequest, true, '7')).toBeUndefined();
});

/** The newest step that was done, and a form that would do it again by a page from before it. */
const done = entries.findLast((e) => e.kind === 'step done') as Entry;
const again = [{ kind: 'step done', subject: done.subject } as NewEntry];
const before = String(done.seq - 1);
const refused = (body: Record<string, string>, id?: string, of = log) =>
  refuseUnseen(form(body, id), of, again)?.issues[0]?.message;

test('what was written of the same thing since is told, with who wrote it', () => {
  expect(refused({ _seen: before })).toMatch(
    /^You, on another page or phone wrote meanwhile .*: step done, /,
  );
  expect(refused({ _seen: before }, 'another')).toMatch(/^Ines Okafor wrote meanwhile /);
  expect(refused({ _seen: String(done.seq) })).toBeUndefined();
});

test('of a form that waited on a phone, what its writer wrote before it is nothing new, whatever arrived when', () => {
  const waited = (ms: number) => ({ _seen: before, _waited: String(ms) });
  const at = Date.parse(done.at);
  expect(refused(waited(now - at))).toBeUndefined();
  expect(refused(waited(now - at + 1))).toMatch(/^You, on another page/);
  expect(refused(waited(now - at), 'another')).toMatch(/^Ines Okafor/);
  // Filled in an hour before it arrived: before the form that waited longer than its arrival is ago.
  const filledIn = new Date(at - 3_600_000).toISOString();
  const late = logOf(entries.map((e) => (e.seq === done.seq ? { ...e, filledIn } : e)));
  expect(refused(waited(now - at + 1_800_000), undefined, late)).toBeUndefined();
});

test('a record is refused by all that was written after the end that its pages were drawn from, and by nothing before', () => {
  expect(refuseWrittenAfter(form({}), log, entries.at(-1)!.digest)).toBeUndefined();
  const two = refuseWrittenAfter(form({}), log, entries.at(-3)!.digest);
  expect(two?.issues[0]?.message.match(/wrote meanwhile/g)).toHaveLength(2);
});

// Two keepers at once: without this the later form undoes what the other has just changed, and neither is told.
test('a change of a person is told once to whoever changes the same one by an older page, and to nobody else', () => {
  const change = (seq: number, subject: string, roles: string[]) => ({
    ...{ seq, at: '2026-11-25T09:00:00.000Z', by: { id: 'tam', name: 'Tam Whitlock' } },
    ...{ kind: 'person changed', subject, body: { name: 'Per Lindqvist', roles, active: false } },
  });
  const shop = { entries: [change(7, 'per', ['checker']), change(8, 'noor', ['fitter'])] } as unknown as Shop;
  const told = (_seen: string, subject: string) =>
    refuseChanged(form({ _seen }), shop, subject)?.issues[0]?.message;
  expect(told('6', 'per')).toMatch(
    /^Tam Whitlock wrote meanwhile .*: person changed\. Per Lindqvist, checker, retired\. Read it/,
  );
  expect([told('7', 'per'), told('7', 'ines'), told('8', 'noor')]).toEqual([undefined, undefined, undefined]);
  // A page of a shop that went further than this one, before it was brought back from a backup, has seen none of it.
  expect(told('99', 'per')).toMatch(/^Tam Whitlock wrote meanwhile /);
});
