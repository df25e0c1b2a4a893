import type { FastifyInstance } from 'fastify';
import type { Services } from './services.js';

/** Says whether the server runs and may write; nothing about the shop. */
export function registerHealth(app: FastifyInstance, { store }: Services): void {
  app.get('/health', async (_request, reply) => {
    const status = store.broken === undefined ? 'writing' : 'reading-only';
    return reply
      .code(status === 'writing' ? 200 : 503)
      .header('cache-control', 'no-store')
      .send({ status });
  });
}
