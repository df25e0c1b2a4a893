import csrf from '@fastify/csrf-protection';
import type { FastifyInstance } from 'fastify';
import { changesThings } from './how-it-came.js';

/** A token of its session's on every form that changes something; a form without it is refused. To be called once sessions are kept. */
export async function askForToken(app: FastifyInstance): Promise<void> {
  await app.register(csrf, {
    sessionPlugin: '@fastify/session',
    getToken: (request) => {
      const token = (request.body as Record<string, unknown> | null | undefined)?._csrf;
      return typeof token === 'string' ? token : String(request.headers['csrf-token'] ?? '');
    },
  });
  app.addHook('preHandler', (request, reply, done) => {
    if (!changesThings(request) || request.is404 || request.readBack) done();
    else app.csrfProtection(request, reply, done);
  });
}
