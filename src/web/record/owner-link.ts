import { randomBytes } from 'node:crypto';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { AppError, type Issue, type Result } from '../../errors.js';
import type { OwnerLink } from '../../logbook/fold-shop.js';
import { sha256Of } from '../../logbook/sha256.js';
import { type NewShopEntry, type ShopBody, shopBodies } from '../../logbook/shop-entry.js';
import { standingRecord } from '../../logbook/standing-record.js';
import type { TimeZone } from '../../logbook/time-zone.js';
import { workAt } from '../job/job-at.js';
import { keyOf, one, read, type Typed, typedOf } from '../page/form.js';
import { ownAddress } from '../page/own-address.js';
import { authorOf, goTo, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { showOnce } from '../session/shown-once.js';
import { jobPath } from '../words/job-words.js';
import { readLastDay } from './owner-links-model.js';
import { recordModel } from './record-model.js';

/**
 * Making an owner's link, passing it on where the van is sold, and withdrawing it. Only a digest of its secret is kept: it can be
 * shown once.
 */
export function registerOwnerLink(app: FastifyInstance, services: Services): void {
  const { store, clock } = services;

  app.post('/jobs/:job/link', async (request, reply) => {
    const at = workAt(services, request);
    mayHandOut(request);
    const back = jobPath(at.number, 'record');
    const key = keyOf(request);
    if (key !== '' && request.session.ownerLinkKey === key) return goTo(reply, back);
    const before = one(typedOf(request), 'takesPlaceOf');
    const address = ownAddress(request);
    const wish = linkWish(typedOf(request), standingRecord(at.log)?.body.revision, clock(), at.zone);
    const refuse = (all: readonly Issue[]) =>
      renderIssues(reply, 'record', recordModel(at, services, request), all);
    if (address === undefined) return refuse([nowhere(request.host), ...(wish.ok ? [] : wish.issues)]);
    if (!wish.ok) return refuse(wish.issues);
    const { heldBy } = wish.value;
    const token = randomBytes(24).toString('base64url');
    const made = linkMade(token, {
      job: at.number,
      ...wish.value,
      ...(before === '' ? {} : { takesPlaceOf: before }),
    });
    const written = store.shop.append({
      by: authorOf(request),
      decide: ({ links }) => {
        if (before === '') return { ok: true, value: [made] };
        const open = links.some((l) => l.tokenDigest === before && l.job === at.number && !l.withdrawn);
        if (!open)
          return { ok: false, issues: [{ field: 'takesPlaceOf', message: 'opens nothing any more' }] };
        return { ok: true, value: [linkWithdrawn(before, `Passed on to ${heldBy}`), made] };
      },
    });
    if (!written.ok) return refuse(written.issues);
    showOnce(request, services.shownOnce, { job: at.number, address: `${address}/o/${token}` });
    request.session.ownerLinkKey = key;
    return goTo(reply, `${back}#link`, 'The owner’s link is made. It is shown once.');
  });

  app.post('/jobs/:job/link/withdrawal', async (request, reply) => {
    const at = workAt(services, request);
    mayHandOut(request);
    const tokenDigest = one(typedOf(request), 'link');
    const link = store.shop.state().links.find((l) => l.tokenDigest === tokenDigest && l.job === at.number);
    if (link === undefined) throw new AppError('not-found', 'There is no such link.');
    if (link.withdrawn === undefined)
      store.shop.append({
        by: authorOf(request),
        decide: () => ({
          ok: true,
          value: [linkWithdrawn(tokenDigest, '')],
        }),
      });
    return goTo(
      reply,
      `${jobPath(at.number, 'record')}#link`,
      'The link is withdrawn: it opens nothing any more.',
    );
  });
}

function nowhere(host: string): Issue {
  return {
    field: '',
    message: `Nothing says under which address an owner reaches this shop: this page was opened as ${host.slice(0, 100)}. Start the server with --address, so that the link leads to it.`,
  };
}

/** What the form asks for, of the revision that stands, or all that is to be mended at once. */
function linkWish(
  typed: Typed,
  revision: number | undefined,
  now: Date,
  zone: TimeZone,
): Result<Pick<ShopBody<'link made'>, 'revision' | 'heldBy' | 'expires'>> {
  const heldBy = read(shopBodies['link made'].pick({ heldBy: true }), { heldBy: one(typed, 'heldBy') });
  const until = readLastDay(one(typed, 'until'), now, zone);
  const named = heldBy.ok && heldBy.value.heldBy !== '';
  if (revision !== undefined && named && until.ok)
    return { ok: true, value: { revision, ...heldBy.value, expires: until.value } };
  return {
    ok: false,
    issues: [
      ...(revision === undefined
        ? [{ field: '', message: 'No record stands that an owner could see: issue it first.' }]
        : []),
      ...(heldBy.ok ? [] : heldBy.issues),
      ...(heldBy.ok && !named ? [{ field: 'heldBy', message: 'name the owner whom you give it to' }] : []),
      ...(until.ok ? [] : until.issues),
    ],
  };
}

function linkMade(token: string, about: Omit<ShopBody<'link made'>, 'tokenDigest'>): NewShopEntry {
  const tokenDigest = digestOf(token);
  return { kind: 'link made', subject: tokenDigest, body: { ...about, tokenDigest } };
}

function linkWithdrawn(tokenDigest: string, reason: string): NewShopEntry {
  return { kind: 'link withdrawn', subject: tokenDigest, body: { tokenDigest, reason } };
}

function mayHandOut(request: FastifyRequest): void {
  const { roles } = requirePerson(request);
  if (!roles.includes('fitter') && !roles.includes('keeper'))
    throw new AppError('not-allowed', 'A fitter or a keeper hands out the owner’s link.');
}

/** The link of a token while it opens anything. */
export function openLink({ store, clock }: Services, token: string): OwnerLink | undefined {
  if (!/^[A-Za-z0-9_-]{32}$/.test(token)) return undefined;
  const link = store.shop.state().links.find((l) => l.tokenDigest === digestOf(token));
  return link === undefined || link.withdrawn !== undefined || link.expires <= clock().toISOString()
    ? undefined
    : link;
}

/** What is kept of a link's secret. */
export function digestOf(token: string): string {
  return sha256Of(token);
}
