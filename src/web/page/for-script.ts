import type { FastifyInstance, FastifyReply } from 'fastify';
import { asksForScript } from '../session/how-it-came.js';

/** What is to be mended, as sentences. */
export function tellScript(reply: FastifyReply, status: number, problems: readonly string[]): FastifyReply {
  return reply.code(status).type('application/json').header('cache-control', 'no-store').send({ problems });
}

/** A page to go to after a form was taken is told to a script as an address: to follow it would use up what is said there once. */
export function answerScripts(app: FastifyInstance): void {
  app.addHook('onSend', async (request, reply, payload) => {
    if (reply.statusCode !== 303 || !asksForScript(request)) return payload;
    const goTo = reply.getHeader('location');
    reply.code(200).removeHeader('location').removeHeader('content-length');
    reply.type('application/json').header('cache-control', 'no-store');
    return JSON.stringify({ goTo });
  });
}
