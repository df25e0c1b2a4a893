import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Shop } from '../../logbook/fold-shop.js';
import type { JobLog } from '../../logbook/job-log.js';

/** A page carries the newest entry that it was drawn from, so that its forms can be told what was written since. */
export function noteWhatPagesShow(app: FastifyInstance): void {
  app.decorateRequest('drawnFrom', undefined);
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

/** What the form that was sent says of the page it stands on; undefined where it says nothing. */
export function sentMark(request: FastifyRequest): Mark | undefined {
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

/** For a page of the shop itself: its forms carry the newest entry of the shop's logbook. */
export function noteShop(request: FastifyRequest, { entries }: Pick<Shop, 'entries'>): void {
  request.drawnFrom = String(entries.at(-1)?.seq ?? 0);
}

declare module 'fastify' {
  interface FastifyRequest {
    /** The newest entry that this answer's page is drawn from, as its forms name it; undefined where they say nothing of it. */
    drawnFrom: string | undefined;
  }
}
