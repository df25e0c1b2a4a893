import { createHash, randomBytes } from 'node:crypto';
import type { FastifyInstance } from 'fastify';
import { AppError } from '../errors.js';
import type { OwnerLink } from '../logbook/fold-shop.js';
import { standingRecord } from '../logbook/standing-record.js';
import { keyOf, one, typedOf } from './form.js';
import { requirePerson } from './guard.js';
import { workAt } from './job-at.js';
import { jobPath } from './job-words.js';
import { ownAddress } from './own-address.js';
import { authorOf, goTo, renderIssues } from './page.js';
import { recordModel } from './record-model.js';
import type { Services } from './services.js';

const daysAllowed = [30, 90, 365] as const;

/** Making and withdrawing the owner's link. Only a digest of its secret is kept: it can be shown once. */
export function registerOwnerLink(app: FastifyInstance, services: Services): void {
  const { store, clock } = services;

  app.post('/jobs/:job/link', async (request, reply) => {
    const at = workAt(services, request);
    mayHandOut(request.person?.roles ?? []);
    const back = jobPath(at.number, 'record');
    const key = keyOf(request);
    if (key !== '' && request.session.ownerLinkKey === key) return goTo(reply, back);
    const standing = standingRecord(at.log);
    const days = daysAllowed.find((d) => String(d) === one(typedOf(request), 'days'));
    const address = ownAddress(request, services);
    const issues = [
      ...(standing === undefined
        ? [{ field: '', message: 'No record stands that an owner could see: issue it first.' }]
        : []),
      ...(address === undefined
        ? [
            {
              field: '',
              message: `This page was opened as ${request.host.slice(0, 100)}, which is no name of this machine. Start the server with --address, so that the link leads to it.`,
            },
          ]
        : []),
      ...(days === undefined ? [{ field: 'days', message: 'choose one of the list' }] : []),
    ];
    if (standing === undefined || days === undefined || address === undefined)
      return renderIssues(reply, 'record', recordModel(at, services, request), issues);
    const token = randomBytes(24).toString('base64url');
    const expires = new Date(clock().getTime() + days * 86_400_000).toISOString();
    const tokenDigest = digestOf(token);
    store.shop.append({
      by: authorOf(request),
      decide: () => ({
        ok: true,
        value: [
          {
            kind: 'link made',
            subject: tokenDigest,
            body: { job: at.number, revision: standing.body.revision, tokenDigest, expires },
          },
        ],
      }),
    });
    request.session.ownerLink = { job: at.number, address: `${address}/o/${token}` };
    request.session.ownerLinkKey = key;
    return goTo(reply, `${back}#link`, 'The owner’s link is made. It is shown once.');
  });

  app.post('/jobs/:job/link/withdrawal', async (request, reply) => {
    const at = workAt(services, request);
    mayHandOut(requirePerson(request).roles);
    const tokenDigest = one(typedOf(request), 'link');
    const link = store.shop.state().links.find((l) => l.tokenDigest === tokenDigest && l.job === at.number);
    if (link === undefined) throw new AppError('not-found', 'There is no such link.');
    if (link.withdrawn === undefined)
      store.shop.append({
        by: authorOf(request),
        decide: () => ({
          ok: true,
          value: [{ kind: 'link withdrawn', subject: tokenDigest, body: { tokenDigest, reason: '' } }],
        }),
      });
    return goTo(
      reply,
      `${jobPath(at.number, 'record')}#link`,
      'The link is withdrawn: it opens nothing any more.',
    );
  });
}

function mayHandOut(roles: readonly string[]): void {
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

function digestOf(token: string): string {
  return createHash('sha256').update(token).digest('hex');
}
