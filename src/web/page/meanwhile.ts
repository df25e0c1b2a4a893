import type { FastifyInstance, FastifyRequest } from 'fastify';
import { changedParts } from '../../circuit/changed-parts.js';
import type { Result } from '../../errors.js';
import type { Entry } from '../../logbook/entry.js';
import { circuitAt, type JobLog } from '../../logbook/job-log.js';
import { planOf } from '../../steps/plan-of.js';
import { subjectWords } from '../../steps/subject-words.js';
import { type Spoken, writtenSince } from '../../steps/written-since.js';
import { entryWords } from '../words/entry-words.js';
import { jobPath, whenText } from '../words/job-words.js';
import { seenBy, sentMark } from './drawn-from.js';
import { filledInMs } from './form.js';

/** Two at once on one job: a form that would answer something written since is refused once, and its page says who wrote what. */
export function noteMeanwhile(app: FastifyInstance): void {
  app.decorateRequest('meanwhile', undefined);
}

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

export type Refusal = Extract<Result<never>, { ok: false }>;

function refuseFor(request: FastifyRequest, log: JobLog, since: readonly Entry[]): Refusal | undefined {
  return refuseWritten(
    request,
    since.map((entry) => inJob(request, log, entry)),
  );
}

/** A refusal that says what was written meanwhile; none where nothing was. */
export function refuseWritten(request: FastifyRequest, since: readonly Written[]): Refusal | undefined {
  if (since.length === 0) return undefined;
  request.meanwhile = since;
  // Said whole in words as well: a form that waited on a phone is refused without its page.
  const said = since.map(
    ({ by, when, what, lines }) => `${by} wrote meanwhile (${when}): ${[what, ...lines].join('. ')}.`,
  );
  const message = `${said.join(' ')} Read it, then send yours again.`;
  return { ok: false, issues: [{ field: '', message }] };
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

/** By whom an entry was written and when, as whoever asks is told. */
export const whoAndWhen = ({ person, server }: FastifyRequest, { by, at }: Pick<Entry, 'by' | 'at'>) => ({
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
    /** What the form that was sent would have answered unseen. */
    meanwhile: readonly Written[] | undefined;
  }
}
