import type { FastifyInstance, FastifyRequest } from 'fastify';
import { changedParts } from '../../circuit/changed-parts.js';
import type { Result } from '../../errors.js';
import type { Entry } from '../../logbook/entry.js';
import type { Shop, ShopEntry } from '../../logbook/fold-shop.js';
import { circuitAt, type JobLog } from '../../logbook/job-log.js';
import { zoneWords } from '../../logbook/time-zone.js';
import { planOf } from '../../steps/plan-of.js';
import { subjectWords } from '../../steps/subject-words.js';
import { type Spoken, writtenSince } from '../../steps/written-since.js';
import { entryWords } from '../words/entry-words.js';
import { dayText, jobPath, whenText } from '../words/job-words.js';
import { filledInMs } from './form.js';
import { pathOf } from './own-path.js';

/**
 * Two at once on one job. A page of a job carries the number of the newest entry it was drawn from; a form that would answer
 * something written since is refused once, and its page says who wrote what.
 */
export function noteMeanwhile(app: FastifyInstance): void {
  app.decorateRequest('drawnFrom', undefined);
  app.decorateRequest('meanwhile', undefined);
}

/**
 * What the forms of a job's page carry of the logbook that it was drawn from: its length, and of its first and its newest entry the
 * beginning of their digests. A shop that was brought back from a backup may give a number anew, and write another end behind the same
 * beginning.
 */
export function noteDrawn(request: FastifyRequest, { entries }: Pick<JobLog, 'entries'>): void {
  const [first, last] = [entries[0], entries.at(-1)].map((entry) => entry?.digest.slice(0, markDigits));
  request.drawnFrom = `${entries.length}.${first}.${last}`;
}
const markDigits = 10;

/**
 * The newest entry that the page with this form was drawn from; 0 where it names none of this logbook (of a copy that went
 * further than this one, or on in another way). A form without a mark is a script's, which looks for itself.
 */
export function seenBy(request: FastifyRequest, { entries }: Pick<JobLog, 'entries'>): number {
  const mark = sentMark(request);
  if (mark === undefined) return entries.length;
  const digest = entries[mark.seq - 1]?.digest;
  return digest?.startsWith(mark.last ?? '') ? mark.seq : 0;
}

/**
 * The mark that the forms of a page carry: a page that comes back with what was typed keeps its own until it has told what is new,
 * and so does one that is filled in again with a form of the mark `again`.
 */
export function seenOn(request: FastifyRequest, cameBack: boolean, again = ''): string | undefined {
  const { drawnFrom } = request;
  if (drawnFrom === undefined) return undefined;
  if (again !== '') return markText(again);
  const sent = sentMark(request);
  const told = request.meanwhile !== undefined || (sent !== undefined && !isOfSameJob(sent, drawnFrom));
  return cameBack && !told ? markText(sentText(request) ?? drawnFrom) : drawnFrom;
}

const isOfSameJob = ({ first }: Mark, drawnFrom: string) =>
  first === undefined || first === markIn(drawnFrom).first;

interface Mark {
  readonly seq: number;
  readonly first?: string | undefined;
  readonly last?: string | undefined;
}

function sentText({ body }: FastifyRequest): string | undefined {
  const said = (body as Record<string, unknown> | undefined)?._seen;
  return said === undefined ? undefined : String(said);
}

function sentMark(request: FastifyRequest): Mark | undefined {
  const said = sentText(request);
  return said === undefined ? undefined : markIn(said);
}

/** A number alone is a page's of the shop itself, or of an earlier version. */
function markIn(said: string): Mark {
  const [, seq, first, last] = /^(\d{1,9})(?:\.([0-9a-f]{10})\.([0-9a-f]{10}))?$/.exec(said) ?? [];
  return { seq: Number(seq ?? 0), first, last };
}

/** What is no mark names nothing. */
const markText = (said: string) => (markIn(said).seq > 0 ? said : '0');

/**
 * Asked where the entries are written: a refusal where one of them would answer something that its writer has not seen, or where they
 * were meant for another job.
 */
export function refuseUnseen(
  request: FastifyRequest,
  log: JobLog,
  entries: readonly Spoken[],
): Refusal | undefined {
  const other = refuseOtherJob(request, log);
  if (other !== undefined) return other;
  const seen = seenBy(request, log);
  const spoken = new Set(entries.flatMap((entry) => writtenSince(log, seen, entry)));
  const since = log.entries.slice(seen).filter((e) => spoken.has(e) && !knownToWriter(request, e));
  return refuseFor(request, log, since);
}

/** A refusal, once, where the form's page was drawn from another job of the same number: nothing of one van belongs in another's logbook. */
function refuseOtherJob(
  request: FastifyRequest,
  { entries, described }: Pick<JobLog, 'entries' | 'described'>,
): Refusal | undefined {
  const first = sentMark(request)?.first;
  const opened = entries[0];
  if (first === undefined || opened === undefined || opened.digest.startsWith(first)) return undefined;
  const which = described === undefined ? '' : `: ${described.vehicle.description}, of ${described.owner}`;
  const message = `This form was filled in for another job, which had the number ${opened.job} before this shop was brought back from a backup. Now another one has it${which}. Nothing of it was written. Send it again only where it is meant for this van.`;
  return { ok: false, issues: [{ field: '', message }] };
}

/** Asked where a record is written: a refusal where anything was written after the end of the logbook that its pages were drawn from. */
export function refuseWrittenAfter(request: FastifyRequest, log: JobLog, head: string): Refusal | undefined {
  return refuseFor(request, log, log.entries.slice(log.entries.findIndex((e) => e.digest === head) + 1));
}

type Refusal = Extract<Result<never>, { ok: false }>;

function refuseFor(request: FastifyRequest, log: JobLog, since: readonly Entry[]): Refusal | undefined {
  return refuseWritten(
    request,
    since.map((entry) => inJob(request, log, entry)),
  );
}

function refuseWritten(request: FastifyRequest, since: readonly Written[]): Refusal | undefined {
  if (since.length === 0) return undefined;
  request.meanwhile = since;
  // Said whole in words as well: a form that waited on a phone is refused without its page.
  const said = since.map(
    ({ by, when, what, lines }) => `${by} wrote meanwhile (${when}): ${[what, ...lines].join('. ')}.`,
  );
  const message = `${said.join(' ')} Read it, then send yours again.`;
  return { ok: false, issues: [{ field: '', message }] };
}

/** For a page of the shop itself: its forms carry the newest entry of the shop's logbook. */
export function noteShop(request: FastifyRequest, { entries }: Pick<Shop, 'entries'>): void {
  request.drawnFrom = String(entries.at(-1)?.seq ?? 0);
}

/** Asked where a person, an instrument or the shop itself is changed: a refusal where that was changed since the page was drawn. */
export function refuseChanged(
  request: FastifyRequest,
  { entries }: Pick<Shop, 'entries'>,
  subject: string,
): Refusal | undefined {
  const newest = entries.at(-1)?.seq ?? 0;
  const said = sentMark(request)?.seq ?? newest;
  const seen = said <= newest ? said : 0;
  const since = entries.flatMap((entry) => {
    const lines = entry.seq > seen && entry.subject === subject ? shopWords(entry) : undefined;
    const href = pathOf(request.url);
    return lines === undefined ? [] : [{ ...whoAndWhen(request, entry), href, what: entry.kind, lines }];
  });
  return refuseWritten(request, since);
}

/** What a change of a person, an instrument or the shop left behind it; undefined for what no form of theirs would undo. */
function shopWords({ kind, body }: ShopEntry): string[] | undefined {
  switch (kind) {
    case 'person changed':
      return [`${body.name}, ${body.roles.join(', ')}, ${body.active ? 'active' : 'retired'}`];
    case 'instrument changed': {
      const until = body.due === undefined ? '' : `, holds until ${dayText(body.due)}`;
      return [
        `${body.name}, serial ${body.serial}, calibrated ${dayText(body.calibrated)}${until}, ${body.retired ? 'off the shelf' : 'on the shelf'}`,
      ];
    }
    case 'instrument questioned':
      return [`Found not to tell the truth from ${dayText(body.from)} on: ${body.reason}`];
    case 'shop named':
      return [
        `${body.name}${body.place === '' ? '' : `, ${body.place}`}, ${body.units}, ${zoneWords(body.zone ?? 'UTC')}`,
      ];
    default:
      return undefined;
  }
}

/** A form that waited on a phone: what the same person had written before they filled it in is nothing new to them. */
function knownToWriter(request: FastifyRequest, entry: Entry): boolean {
  const filledIn = filledInMs(request);
  if (filledIn === undefined || entry.by.id !== request.person?.id) return false;
  return Date.parse(entry.filledIn ?? entry.at) <= filledIn;
}

/** What was written meanwhile, in plain words: who, when, about what, and what it says. */
interface Written {
  readonly href: string;
  readonly by: string;
  readonly when: string;
  readonly what: string;
  readonly lines: readonly string[];
}

function inJob(request: FastifyRequest, log: JobLog, entry: Entry): Written {
  const circuit = circuitAt(log, entry.seq);
  const plan = circuit && planOf(circuit);
  return {
    ...whoAndWhen(request, entry),
    href: `${jobPath(entry.job, 'logbook')}#entry-${entry.seq}`,
    what: entry.subject === 'job' ? entry.kind : `${entry.kind}, ${subjectWords(entry.subject, plan)}`,
    lines: [...entryWords(entry, plan), ...changesOf(log, entry)],
  };
}

const whoAndWhen = ({ person, server }: FastifyRequest, { by, at }: Pick<Entry, 'by' | 'at'>) => ({
  by: by.id === person?.id ? 'You, on another page or phone' : by.name,
  when: whenText(at, server.services.store.shop.state().zone),
});

const mostChanges = 20;

/** What a new version of the circuit changed, part by part. */
function changesOf(log: JobLog, entry: Entry): string[] {
  const before = entry.kind === 'circuit set' ? circuitAt(log, entry.seq - 1) : undefined;
  if (before === undefined || entry.kind !== 'circuit set') return [];
  const parts = changedParts(before, entry.body.circuit).map((c) => `${c.label}: ${c.from} → ${c.to}`);
  const more = parts.length - mostChanges;
  return more > 0 ? [...parts.slice(0, mostChanges), `and ${more} more`] : parts;
}

declare module 'fastify' {
  interface FastifyRequest {
    /** The newest entry that this answer's page is drawn from, as its forms name it; undefined where they say nothing of it. */
    drawnFrom: string | undefined;
    /** What the form that was sent would have answered unseen. */
    meanwhile: readonly Written[] | undefined;
  }
}
