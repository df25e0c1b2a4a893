import type { FastifyInstance, FastifyRequest } from 'fastify';
import { AppError } from '../../errors.js';
import type { Person } from '../../logbook/fold-shop.js';
import type { Role } from '../../logbook/shop-entry.js';
import { accessTo } from '../routes.js';
import { asksForScript, changesThings, formFrom } from './how-it-came.js';
import { passphraseOf } from './people.js';
import { hadSession } from './session.js';

/**
 * The person who is signed in, as they stand now: a request may be under way for long. Throws `not-signed-in`, where the session was
 * ended meanwhile too, or `not-allowed` where a role is named that they do not hold.
 */
export function requirePerson(request: FastifyRequest, role?: Role): Person {
  const person = activePerson(request, request.person?.id);
  if (person === undefined || hasEnded(request)) throw new AppError('not-signed-in');
  if (role !== undefined && !person.roles.includes(role))
    throw new AppError('not-allowed', `This needs the role ${role}, which ${person.name} does not hold.`);
  return person;
}

/** What is open to a person who has not chosen a passphrase of their own yet: another knows the one they have. */
const whileGiven: ReadonlySet<string> = new Set(['/account', '/account/passphrase', '/sign-out']);

/**
 * Guards every address by the list in routes.ts: an address that is not in the list does not start, and one that is
 * not marked open needs a session. Runs before a body is read, so that a stranger cannot make the server read one.
 */
export function guardRoutes(app: FastifyInstance): void {
  app.addHook('onRoute', (route) => {
    for (const method of [route.method].flat()) {
      if (method !== 'HEAD' && method !== 'OPTIONS' && accessTo(method, route.url) === undefined)
        throw new Error(`${method} ${route.url} is not in the list of addresses`);
    }
  });
  app.decorateRequest('person', undefined);
  app.decorateRequest('readBack', false);
  app.addHook('onRequest', async (request, reply) => {
    refuseForeign(request);
    request.person = await personOf(request);
    const url = request.routeOptions.url ?? '';
    const access = accessTo(request.method === 'HEAD' ? 'GET' : request.method, url);
    if (access === undefined || access === 'open') return undefined;
    if (!app.services.store.shop.state().named) return reply.redirect('/set-up', 303);
    if (request.person === undefined && request.method === 'GET')
      return reply.redirect(`/sign-in?next=${encodeURIComponent(request.url)}`, 303);
    request.readBack = request.person === undefined && isReadBack(request);
    if (request.readBack) return undefined;
    const person = requirePerson(request, access === 'person' ? undefined : access);
    if (passphraseOf(app.services.store, person.id)?.mustChange !== true || whileGiven.has(url))
      return undefined;
    if (request.method === 'GET') return reply.redirect('/account', 303);
    throw new AppError('not-allowed', 'Your passphrase was given to you: choose your own first.');
  });
  app.addHook('preHandler', async (request) => {
    const access = accessTo(request.method, request.routeOptions.url ?? '');
    if (access === undefined || access === 'open' || !changesThings(request)) return;
    // A form that came slowly: its session may have been ended, its person retired or given other roles, while it was on its way.
    requirePerson(request, access === 'person' ? undefined : access);
  });
}

/** A form from another site is refused by where the browser says it comes from, whatever tokens it carries. */
function refuseForeign(request: FastifyRequest): void {
  if (changesThings(request) && formFrom(request) === 'elsewhere')
    throw new AppError('form-token', 'The form came from another site.');
}

/**
 * Whether the form of somebody whose session is over is read, for what they typed to come back with the refusal: where it came from
 * a page of ours, with a session's cookie under our seal. A script keeps its form itself.
 */
function isReadBack(request: FastifyRequest): boolean {
  return (
    changesThings(request) && !asksForScript(request) && formFrom(request) === 'here' && hadSession(request)
  );
}

/** Who the session belongs to; a person who may no longer sign in loses the session at once. */
async function personOf(request: FastifyRequest): Promise<Person | undefined> {
  const id = request.session?.personId;
  if (id === undefined) return undefined;
  const person = activePerson(request, id);
  if (person !== undefined) return person;
  // Another of nobody, so that whoever signs in next on this device has a form that is taken.
  await request.session.regenerate();
  return undefined;
}

/** Where the session could not be kept under a new id there is none in the request, and the old one goes on. */
function hasEnded({ server, session }: FastifyRequest): boolean {
  return session && server.services.store.sessions.handleOf(session.sessionId) === undefined;
}

function activePerson({ server }: FastifyRequest, id: string | undefined): Person | undefined {
  return server.services.store.shop.state().people.find((p) => p.id === id && p.active);
}

declare module 'fastify' {
  interface FastifyRequest {
    person: Person | undefined;
    /** Nobody is signed in, and the form is read only for what was typed to come back. */
    readBack: boolean;
  }
  interface Session {
    personId?: string | undefined;
    /** What browser it was opened in, in its own words. */
    agent?: string | undefined;
    _csrf?: string | undefined;
  }
}
