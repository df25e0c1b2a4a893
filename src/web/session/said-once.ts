import type { FastifyRequest } from 'fastify';
import { putNewest } from '../../put-newest.js';

/** One sentence that is said once, on the next page of the session, and where it leads. */
export interface Said {
  readonly text: string;
  readonly link?: SaidLink | undefined;
}

/** A link beside what is said once. */
export interface SaidLink {
  readonly href: string;
  readonly label: string;
}

/**
 * What waits to be said, by session. In memory alone: written to the session's row it would cost every form that is saved two
 * commits more, and a restart between a form and its next page takes a sentence, never what the form wrote.
 */
export type SaidOnce = Map<string, Said>;

/** Whoever sent a form is led to its page at once, so that few wait. */
const waitAtMost = 1000;

/** Keeps what is said for the next page of this session. */
export function sayOnce(request: FastifyRequest, text: string, link?: SaidLink): void {
  const { session } = request;
  if (!session) return;
  const { saidOnce } = request.server.services;
  putNewest(saidOnce, session.sessionId, { text, link }, waitAtMost);
}

/** Whether something is to be said on this session's next page. */
export function isToBeSaid({ server, session }: FastifyRequest): boolean {
  return session !== null && server.services.saidOnce.has(session.sessionId);
}

/** What is to be said on this page; it is forgotten with that. */
export function takeSaid({ server, session }: FastifyRequest): Said | undefined {
  if (!session) return undefined;
  const { saidOnce } = server.services;
  const said = saidOnce.get(session.sessionId);
  saidOnce.delete(session.sessionId);
  return said;
}
