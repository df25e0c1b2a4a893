import cookie from '@fastify/cookie';
import csrf from '@fastify/csrf-protection';
import session from '@fastify/session';
import type { FastifyInstance, Session } from 'fastify';
import type { Services } from './services.js';

const unsafe = new Set(['POST', 'PUT', 'PATCH', 'DELETE']);

/** Sessions in the store, their id in a signed cookie, and a token on every form that changes something. */
export async function keepSessions(app: FastifyInstance, { config, store }: Services): Promise<void> {
  await app.register(cookie);
  await app.register(session, {
    secret: store.secret.cookie,
    cookieName: config.https ? '__Host-inlet' : 'inlet',
    cookie: { secure: config.https, httpOnly: true, sameSite: 'lax', path: '/' },
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
          store.sessions.destroy(id);
          return undefined;
        });
      },
    },
  });
  await app.register(csrf, {
    sessionPlugin: '@fastify/session',
    getToken: (request) => {
      const token = (request.body as Record<string, unknown> | null | undefined)?._csrf;
      return typeof token === 'string' ? token : String(request.headers['csrf-token'] ?? '');
    },
  });
  app.addHook('preHandler', (request, reply, done) => {
    if (!unsafe.has(request.method) || request.is404) done();
    else app.csrfProtection(request, reply, done);
  });
}

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
