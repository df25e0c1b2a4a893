import type { FastifyRequest } from 'fastify';
import { putNewest } from '../../put-newest.js';

/** An owner's link that was just made, by the session that made it. In memory alone: its secret is written down nowhere. */
export type ShownOnce = Map<string, { readonly job: string; readonly address: string }>;

/** Whoever makes a link is led to its page at once, so that few wait. */
const waitAtMost = 100;

/** Keeps the link for the next page of its job in this session. */
export function showOnce(
  request: FastifyRequest,
  links: ShownOnce,
  link: { job: string; address: string },
): void {
  putNewest(links, request.session.sessionId, link, waitAtMost);
}

/** The link to be shown on this page of the job; it is forgotten with that. */
export function takeShown(request: FastifyRequest, links: ShownOnce, job: string): string | undefined {
  const link = links.get(request.session.sessionId);
  if (link?.job !== job) return undefined;
  links.delete(request.session.sessionId);
  return link.address;
}
