import type { Socket } from 'node:net';
import type { FastifyInstance } from 'fastify';
import type { Config } from '../config.js';
import { network } from './session/sign-in-throttle.js';

/** How long a connection may take, ms, and how many there may be: whoever sends byte by byte holds nothing up for long. */
export interface ConnectionLimits {
  /** Without a byte either way. */
  readonly connectionTimeout: number;
  /** For the head of a request, from its first byte. */
  readonly headersTimeout: number;
  /** For a whole request with its photos, over a slow signal. */
  readonly requestTimeout: number;
  /** For an answer to a form that was sent whole: then its connection is not quiet for want of anything to say. */
  readonly answerTimeout: number;
  /** Between two requests. */
  readonly keepAliveTimeout: number;
  /** How often heads and requests are looked at. */
  readonly checkEvery: number;
  /** Open at once; the next is closed at once. */
  readonly maxConnections: number;
  /** Of those, from one network that is not the named proxy: a shop behind one address has some six for each of its phones. */
  readonly fromOneNetwork: number;
}

export const usualLimits: ConnectionLimits = {
  connectionTimeout: 30_000,
  headersTimeout: 20_000,
  requestTimeout: 120_000,
  answerTimeout: 120_000,
  keepAliveTimeout: 20_000,
  checkEvery: 5_000,
  maxConnections: 1_000,
  fromOneNetwork: 250,
};

/** The part of the limits that Node's own server takes when it is made. */
export function nodeLimits({ headersTimeout, requestTimeout, checkEvery }: ConnectionLimits) {
  return { headersTimeout, requestTimeout, connectionsCheckingInterval: checkEvery };
}

/** And the part that it takes later. One network alone cannot take up all the connections there may be. */
export function limitConnections(
  app: FastifyInstance,
  { maxConnections, fromOneNetwork }: ConnectionLimits,
  trustsPeer: NonNullable<Config['trustsPeer']> = () => false,
): void {
  app.server.maxConnections = maxConnections;
  // Whoever is answered while the server ends is not waited for: a stop would take the whole time between two requests longer.
  app.addHook('preClose', async () => {
    app.server.keepAliveTimeout = 1;
  });
  const open = new Map<string, number>();
  app.server.on('connection', (socket: Socket) => {
    const peer = socket.remoteAddress;
    if (peer === undefined || trustsPeer(peer)) return;
    const from = network(peer);
    const count = (open.get(from) ?? 0) + 1;
    open.set(from, count);
    socket.once('close', () => {
      const left = (open.get(from) ?? 0) - 1;
      if (left > 0) open.set(from, left);
      else open.delete(from);
    });
    if (count > fromOneNetwork) socket.destroy();
  });
}
