import type { FastifyInstance } from 'fastify';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { one, typedOf } from './form.js';
import { keepFor, unpacked } from './kept-form.js';

/** What was typed in a form that was not taken, back in the form of its own page. It writes nothing and sends nothing. */
export function registerAgain(app: FastifyInstance, services: Services): void {
  app.post('/again', async (request, reply) => {
    const kept = unpacked(one(typedOf(request), 'kept'));
    const page = kept === undefined ? '/' : keepFor(services, requirePerson(request).id, kept);
    return reply.redirect(page, 303);
  });
}
