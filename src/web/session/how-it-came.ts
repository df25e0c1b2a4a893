import { isIP } from 'node:net';
import type { FastifyInstance, FastifyRequest } from 'fastify';

/** Whether the page goes to its reader over TLS: from here, or from the proxy that was named. */
export function overTls(request: FastifyRequest): boolean {
  return request.protocol === 'https';
}

const changing = new Set(['POST', 'PUT', 'PATCH', 'DELETE']);

/** Whether a request may change something: then its form must be one of ours. */
export function changesThings({ method }: FastifyRequest): boolean {
  return changing.has(method);
}

/**
 * Where the browser says that a form comes from: a page of this site, another site, or nothing said, as by a program or an old
 * browser. A proxy may ask under a Host of its own; the address that the shop was started with is then the one to be told.
 */
export function formFrom({ protocol, headers, server }: FastifyRequest): 'here' | 'elsewhere' | 'unsaid' {
  const { 'sec-fetch-site': site, origin, host } = headers;
  const ours = [`${protocol}://${host}`, server.services.config.address];
  if (typeof site === 'string' && site !== 'same-origin' && site !== 'none') return 'elsewhere';
  if (origin !== undefined && !ours.includes(origin)) return 'elsewhere';
  return origin !== undefined || site === 'same-origin' ? 'here' : 'unsaid';
}

/** Whether a script sent this form for a person, and reads the answer: the same acts, statuses and sentences, without the page. */
export function asksForScript({ headers }: FastifyRequest): boolean {
  return headers.accept === 'application/json';
}

/** Whether it came by the proxy that was named, whose word on its sender is believed. */
export function byProxy({ server, socket }: FastifyRequest): boolean {
  return server.services.config.trustsPeer?.(socket.remoteAddress ?? '') === true;
}

/** The address that tries are counted by: what no address can be, such as `unknown` from a proxy, counts as the proxy. */
export function senderOf(request: FastifyRequest): string {
  return isIP(request.ip) === 0 ? (request.socket.remoteAddress ?? '') : request.ip;
}

/** A cookie's name: over TLS one that a browser takes from this host alone and sends back over TLS alone. */
export function cookieName(name: string, request: FastifyRequest): string {
  return overTls(request) ? `__Host-${name}` : name;
}

/** Tells a browser that came over TLS to come back over nothing else, and to keep nothing that does not say how long. */
export function sayHowToKeep(app: FastifyInstance): void {
  app.addHook('onRequest', async (request, reply) => {
    if (overTls(request)) reply.header('strict-transport-security', 'max-age=31536000');
  });
  app.addHook('onSend', async (_request, reply) => {
    if (!reply.hasHeader('cache-control')) reply.header('cache-control', 'no-store');
  });
}
