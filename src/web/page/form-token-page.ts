import type { FastifyInstance } from 'fastify';
import { requirePerson } from '../session/guard.js';
import { csrfOf } from './page.js';

/** A fresh token for forms that waited on a phone, and whose session it is: forms of another person are not sent with it. */
export function registerFormToken(app: FastifyInstance): void {
  app.get('/form-token', async (request, reply) =>
    reply
      .header('cache-control', 'no-store')
      .send({ person: requirePerson(request).id, token: csrfOf(reply) }),
  );
}
