import type { FastifyInstance } from 'fastify';

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
}

export const usualLimits: ConnectionLimits = {
  connectionTimeout: 30_000,
  headersTimeout: 20_000,
  requestTimeout: 120_000,
  answerTimeout: 120_000,
  keepAliveTimeout: 20_000,
  checkEvery: 5_000,
  maxConnections: 1_000,
};

/** The part of the limits that Node's own server takes when it is made. */
export function nodeLimits({ headersTimeout, requestTimeout, checkEvery }: ConnectionLimits) {
  return { headersTimeout, requestTimeout, connectionsCheckingInterval: checkEvery };
}

/** And the part that it takes later. */
export function limitConnections(app: FastifyInstance, { maxConnections }: ConnectionLimits): void {
  app.server.maxConnections = maxConnections;
}
