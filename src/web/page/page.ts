import { randomUUID } from 'node:crypto';
import type { Readable } from 'node:stream';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Issue, Result } from '../../errors.js';
import type { Author, Entry, NewEntry } from '../../logbook/entry.js';
import type { JobLog } from '../../logbook/job-log.js';
import { vanName } from '../../logbook/van-name.js';
import type { Append } from '../../store/logbook-store.js';
import type { ShopAppend } from '../../store/shop-store.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { asksForScript } from '../session/how-it-came.js';
import { noticesFor } from '../session/notices.js';
import { type Said, type SaidLink, sayOnce, takeSaid } from '../session/said-once.js';
import { jobPath } from '../words/job-words.js';
import { oneDirection, wholeFigures } from '../words/whole-figures.js';
import { assetAddress } from './assets.js';
import { seenOn } from './drawn-from.js';
import { tellScript } from './for-script.js';
import {
  type FormTokens,
  inAddress,
  keyOf,
  makeForm,
  type Typed,
  tokenOf,
  typedOf,
  waitedMs,
} from './form.js';
import { filledAgain, withoutAgain } from './kept-form.js';
import { pathOf } from './own-path.js';

/** What a page hands its template besides its own words; the rest is added by `render`. */
export interface PageModel {
  readonly title: string;
  /** The words of the labels by field, for the summary of what must be mended. */
  readonly labels?: Readonly<Record<string, string>>;
  readonly [name: string]: unknown;
}

/**
 * Draws `views/<view>.eta` inside the layout. The template sees its model and: `person`, `shop`, `broken`, `saidOnce`,
 * `filledAgain`, `path`, `ofJob` where it is a page of one, and `form` (see Form) with the tokens, what was typed and what must be mended.
 */
export async function render(
  reply: FastifyReply,
  view: string,
  model: PageModel,
  more: { status?: number; issues?: readonly Issue[]; typed?: Typed } = {},
): Promise<FastifyReply> {
  const said = takeSaid(reply.request);
  const form = { csrf: csrfOf(reply), key: randomUUID };
  // What came in between is no slip of whoever typed.
  const status = reply.request.meanwhile === undefined ? more.status : 409;
  if (status !== undefined && status >= 400 && asksForScript(reply.request)) {
    const { labelled } = makeForm(form, {}, [], model.labels);
    return tellScript(reply, status, (more.issues ?? []).map(labelled));
  }
  return sendPage(reply, await drawPage(reply, view, model, form, { ...more, said }), status);
}

/** The page's markup, whose forms carry these tokens. */
export async function drawPage(
  reply: FastifyReply,
  view: string,
  model: PageModel,
  tokens: FormTokens,
  more: { issues?: readonly Issue[]; typed?: Typed; said?: Said | undefined } = {},
): Promise<string> {
  const { request } = reply;
  const { store } = request.server.services;
  const shop = store.shop.state();
  const ofJob = jobOf(request);
  const again = filledAgain(request);
  const typed = more.typed ?? again?.kept?.typed;
  const html: string = await reply.viewAsync(view, {
    ...model,
    person: request.person,
    shop: { name: shop.name, units: shop.units, named: shop.named },
    broken: store.broken,
    saidOnce: more.said,
    filledAgain: again?.said,
    notices: noticesFor(request),
    path: pathOf(request.url),
    asset: assetAddress,
    meanwhile: request.meanwhile,
    ofJob,
    backTo: model.backTo === 'job' ? ofJob : model.backTo,
    form: makeForm(
      {
        ...tokens,
        seen: seenOn(request, more.typed !== undefined, again?.kept?.seen),
        by: request.person?.id,
        page: request.method === 'GET' ? withoutAgain(request.url) : tokenOf(request, '_page'),
      },
      typed ?? {},
      more.issues ?? [],
      model.labels,
    ),
  });
  return oneDirection(wholeFigures(html));
}

/** The job that a page is about: the way back to it, and what names it on paper, where two vans' pages lie on one bench. */
function jobOf(request: FastifyRequest) {
  const job = inAddress(request, 'job');
  if (job === '' || request.drawnFrom === undefined) return undefined;
  const described = request.server.services.store.logbook.log(job).described;
  const { description = '' } = described?.vehicle ?? {};
  return {
    href: jobPath(job),
    label: [`Job ${job}`, vanName(description)].filter((word) => word !== '').join(', '),
    onPaper: [`Job ${job}`, description, described?.owner ?? ''].filter((word) => word !== '').join(' · '),
  };
}

/** Sends a page that no browser or proxy may keep. */
export function sendPage(reply: FastifyReply, html: string | Readable, status = 200): FastifyReply {
  return reply.code(status).type('text/html; charset=utf-8').header('cache-control', 'no-store').send(html);
}

/** Draws the page again with status 422: the issues on top and beside their fields, all that was typed kept. */
export function renderIssues(
  reply: FastifyReply,
  view: string,
  model: PageModel,
  issues: readonly Issue[],
): Promise<FastifyReply> {
  return render(reply, view, model, { status: 422, issues, typed: typedOf(reply.request) });
}

/** After a form was taken: on to a page of its own, with one sentence saying what was done. */
export function goTo(reply: FastifyReply, path: string, said?: string, link?: SaidLink): FastifyReply {
  if (said !== undefined) sayOnce(reply.request, said, link);
  return reply.redirect(path, 303);
}

/** Writes the entries that a form asks for, under the form's key and the person who is signed in. */
export function appendForm(
  request: FastifyRequest,
  services: Services,
  job: string,
  decide: (log: JobLog, now: string) => Result<NewEntry[]>,
  part: FormPart = {},
): Promise<Result<readonly Entry[]>> {
  return services.store.logbook.appendTogether({
    job,
    key: keyOf(request),
    by: authorOf(request),
    content: contentOf(request),
    waitedMs: waitedMs(request),
    decide,
    ...part,
  });
}

/** A part of a form that is written by itself goes under a key of its own, with the content that is its own. */
export type FormPart = Partial<Pick<Append, 'attach' | 'key' | 'content'>>;

/** A form of the shop's own pages, which is written once however often it is sent. */
export function shopFormOf(request: FastifyRequest): NonNullable<ShopAppend['form']> {
  return { key: keyOf(request), content: contentOf(request) };
}

/** The person who is signed in, as entries name them. */
export function authorOf(request: FastifyRequest): Author {
  const { id, name } = requirePerson(request);
  return { id, name };
}

/**
 * What a form said, where it said it, and the digests of its files: the same key may not come back with another. A
 * passphrase beside a signature is not kept, not even as part of a digest.
 */
export function contentOf(request: FastifyRequest): Record<string, unknown> {
  const { passphrase: _unkept, ...typed } = typedOf(request);
  return {
    path: pathOf(request.url),
    typed,
    files: (request.uploads ?? []).map((upload) => [upload.field, upload.sha256]),
  };
}

/** A fresh token for a form of this session; '' where there is none. */
export function csrfOf(reply: FastifyReply): string {
  return reply.request.session ? reply.generateCsrf() : '';
}
