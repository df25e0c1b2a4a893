import type { IncomingMessage } from 'node:http';
import type { Socket } from 'node:net';
import type { FastifyInstance } from 'fastify';
import type { ConnectionLimits } from './connection-limits.js';

/**
 * Lets go, when the server closes, of connections over which nothing was asked yet: browsers open some ahead, and the
 * server would wait for them until they run out. Requests that are under way are answered first.
 */
export function letGoOfSilent(app: FastifyInstance, { https }: { readonly https: boolean }): void {
  const silent = new Set<Socket>();
  app.server.on(https ? 'secureConnection' : 'connection', (socket: Socket) => {
    silent.add(socket);
    socket.once('close', () => silent.delete(socket));
  });
  app.server.on('request', ({ socket }: IncomingMessage) => silent.delete(socket));
  app.addHook('preClose', async () => {
    for (const socket of silent) socket.destroy();
  });
}

/**
 * Whoever has sent a form whole waits for its answer, and their connection is not given up for that as one is whose browser has nothing
 * more to say: a passphrase, a photo and a record each wait their turn, which takes long where many come at once. Where there is none
 * after `answerTimeout`, that is what they are told.
 */
export function bearWaiting(
  app: FastifyInstance,
  { answerTimeout }: Pick<ConnectionLimits, 'answerTimeout'>,
): void {
  app.addHook('preHandler', (request, reply, done) => {
    if (request.method === 'POST')
      reply.raw.setTimeout(answerTimeout, () => {
        if (reply.sent) reply.raw.destroy();
        else reply.send(new Error(`no answer within ${answerTimeout} ms`));
      });
    done();
  });
}
