import cookie, { Signer } from '@fastify/cookie';
import session from '@fastify/session';
import type { FastifyInstance, FastifyRequest, Session } from 'fastify';
import { AppError } from '../../errors.js';
import type { Services } from '../services.js';
import { cookieName, overTls } from './how-it-came.js';

const plainName = 'inlet';

/** Sessions in the store, their id in a signed cookie. */
export async function keepSessions(app: FastifyInstance, { store }: Services): Promise<void> {
  const renewing = new Set<string>();
  await app.register(cookie);
  // The session is known to its plug-in by one name, and to the browser by the name that fits how the page went to it.
  app.addHook('onRequest', async (request) => {
    const value = request.cookies[cookieName(plainName, request)];
    delete request.cookies[plainName];
    if (value !== undefined) request.cookies[plainName] = value;
  });
  await app.register(session, {
    secret: store.secret.cookie,
    cookieName: plainName,
    cookie: { secure: 'auto', httpOnly: true, sameSite: 'lax', path: '/' },
    saveUninitialized: false,
    rolling: false,
    store: {
      get(id, done) {
        call(done, () => store.sessions.get(id) as unknown as Session | undefined);
      },
      set(id, data, done) {
        call(done, () => {
          const about = { person: data.personId ?? '', agent: data.agent ?? '' };
          store.sessions.set(id, JSON.parse(JSON.stringify(data)) as Record<string, unknown>, about);
          return undefined;
        });
      },
      destroy(id, done) {
        call(done, () => {
          if (!renewing.has(id)) store.sessions.destroy(id);
          return undefined;
        });
      },
    },
  });
  app.addHook('onSend', async (request, reply) => {
    const set = reply.getHeader('set-cookie');
    if (set === undefined || !overTls(request)) return;
    const renamed = [set].flat().map((line) => String(line).replace(/^inlet=/, '__Host-inlet='));
    reply.removeHeader('set-cookie');
    reply.header('set-cookie', renamed);
  });
  app.decorateRequest('renewSession', async function renewSession(this: FastifyRequest) {
    const id = this.session.sessionId;
    // Ended while the passphrase was checked: nothing brings it back.
    if (store.sessions.handleOf(id) === undefined) throw new AppError('not-signed-in');
    renewing.add(id);
    try {
      await this.session.regenerate([...kept]);
      store.sessions.destroy(id);
    } catch (error) {
      // The new one could not be kept: the old one goes on.
      this.session = undefined as never;
      throw error;
    } finally {
      renewing.delete(id);
    }
  });
}

/** Whether the cookie of a session came with the request, ended or not: one that nobody but this shop can have sealed. */
export function hadSession({ cookies, server }: FastifyRequest): boolean {
  return new Signer(server.services.store.secret.cookie, 'sha256').unsign(cookies[plainName] ?? '').valid;
}

/** What a session of a new id takes along; its forms stay good, since they are the same person's. */
const kept = ['personId', 'agent', '_csrf', 'ownerLinkKey'] as const;

function call(done: (error: unknown, value?: Session | null) => void, work: () => Session | undefined): void {
  let value: Session | undefined;
  try {
    value = work();
  } catch (error) {
    done(error);
    return;
  }
  done(null, value ?? null);
}

declare module 'fastify' {
  interface FastifyRequest {
    /**
     * Gives the session a new id, as after every passphrase, and begins its time anew: a copy of the old cookie is dead. Throws
     * `not-signed-in` where the session was ended meanwhile.
     */
    renewSession(this: FastifyRequest): Promise<void>;
  }
}
