import { randomUUID } from 'node:crypto';
import { Readable } from 'node:stream';
import type { FastifyReply } from 'fastify';
import type { JobLog } from '../../logbook/job-log.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { noticesFor } from '../session/notices.js';
import { isToBeSaid } from '../session/said-once.js';
import { filledAgain } from './kept-form.js';
import type { PagePiece } from './kept-pages.js';
import { csrfOf, drawPage, type PageModel, render, sendPage } from './page.js';

/** Stands where a token goes while a page is drawn to be kept. Nobody can type it: it is made anew at each start. */
const slot = { csrf: `csrf-${randomUUID()}`, key: `key-${randomUUID()}` };
const slots = new RegExp(`(${slot.csrf}|${slot.key})`);

/** A page's markup cut at its tokens, in bytes: what stays is put into UTF-8 once. */
const piecesOf = (html: string): readonly PagePiece[] =>
  html
    .split(slots)
    .map((piece) => (piece === slot.csrf ? 'csrf' : piece === slot.key ? 'key' : Buffer.from(piece)));

/** The pieces one after the other. Put together they would be 40 KB outside the heap for each request, and all memory would be gone through for it several times a second. */
const inOneGo = (pieces: readonly Buffer[]): Readable =>
  new Readable({
    read() {
      for (const piece of pieces) this.push(piece);
      this.push(null);
    },
  });

/**
 * A page of a job that says the same until the job's or the shop's logbook grows: drawn once for each person and ten minutes (a
 * page may speak of what is due), then only its tokens are put in anew. What is said once, and refusals, are never kept.
 */
export async function renderKept(
  reply: FastifyReply,
  { store, clock, keptPages }: Services,
  log: JobLog,
  view: string,
  model: () => PageModel,
): Promise<FastifyReply> {
  const { request } = reply;
  const once = isToBeSaid(request) || filledAgain(request) !== undefined || noticesFor(request) !== undefined;
  if (once || store.broken !== undefined) return render(reply, view, model());
  const drawnFrom = [log, store.shop.state()].map(({ entries }) => entries.at(-1)?.digest).join(' ');
  const key = [requirePerson(request).id, clock().toISOString().slice(0, 15), request.url].join(' ');
  let kept = keptPages.get(key);
  if (kept?.drawnFrom !== drawnFrom) {
    const html = await drawPage(reply, view, model(), { csrf: slot.csrf, key: () => slot.key });
    kept = { drawnFrom, pieces: piecesOf(html) };
    keptPages.put(key, kept);
  }
  const csrf = Buffer.from(csrfOf(reply));
  const filled = kept.pieces.map((piece) =>
    piece === 'csrf' ? csrf : piece === 'key' ? Buffer.from(randomUUID()) : piece,
  );
  reply.header(
    'content-length',
    filled.reduce((sum, { length }) => sum + length, 0),
  );
  return sendPage(reply, inOneGo(filled));
}
