import type { FastifyInstance, FastifyRequest } from 'fastify';
import { AppError } from '../errors.js';
import { foldSignIn } from '../logbook/fold-shop.js';
import { checkPassphrase, hashPassphrase } from '../store/passphrase.js';
import { one, typedOf } from './form.js';
import { goTo, render, renderIssues } from './page.js';
import { keptPassphrase, passphraseOf } from './people.js';
import type { Services } from './services.js';
import { makeThrottle } from './sign-in-throttle.js';

/** Signing in and out. A name that nobody has is answered like a wrong passphrase, after the same work. */
export function registerSignIn(app: FastifyInstance, services: Services): void {
  const { store, clock } = services;
  const throttle = makeThrottle(clock);

  app.get<{ Querystring: { next?: string } }>('/sign-in', async (request, reply) => {
    if (!store.shop.state().named) return reply.redirect('/set-up', 303);
    if (request.person !== undefined) return reply.redirect(ownPath(request.query.next), 303);
    return render(reply, 'sign-in', { title: 'Sign in', next: ownPath(request.query.next) });
  });

  app.post('/sign-in', { config: { rateLimit: { max: 60, timeWindow: 60_000 } } }, async (request, reply) => {
    const typed = typedOf(request);
    const account = foldSignIn(one(typed, 'signIn').slice(0, 80));
    const next = ownPath(one(typed, 'next'));
    const model = { title: 'Sign in', next };
    const waitS = throttle.waitS(account, request.ip);
    if (waitS > 0) {
      reply.header('retry-after', String(waitS));
      throw new AppError('too-many', `Too many tries. Wait ${waitS} seconds and try again.`);
    }
    // Counted before it is checked, so that tries sent all at once count as much as tries one after the other.
    throttle.failed(account, request.ip);
    const person = await personBehind(services, account, one(typed, 'passphrase').slice(0, 200));
    if (person === undefined) {
      request.log.info('sign-in refused');
      return renderIssues(reply, 'sign-in', model, [
        { field: 'signIn', message: 'This name and this passphrase do not belong together.' },
      ]);
    }
    throttle.succeeded(account, request.ip);
    await openSession(request, person.id);
    request.log.info({ person: person.id }, 'signed in');
    if (person.mustChange)
      return goTo(reply, '/account', 'This passphrase was given to you: choose your own now.');
    return goTo(reply, next);
  });

  app.post('/sign-out', async (request, reply) => {
    await request.session.destroy();
    reply.header('clear-site-data', '"cache"');
    return reply.redirect('/sign-in', 303);
  });
}

/** A session of a new id for this person; what was in the one before is gone. */
export async function openSession(request: FastifyRequest, person: string): Promise<void> {
  await request.session.regenerate();
  request.session.personId = person;
  request.session.agent = String(request.headers['user-agent'] ?? '').slice(0, 200);
}

async function personBehind(
  { store }: Services,
  account: string,
  passphrase: string,
): Promise<{ id: string; mustChange: boolean } | undefined> {
  const person = store.shop.state().people.find((p) => p.active && foldSignIn(p.signIn) === account);
  const kept = person === undefined ? undefined : passphraseOf(store, person.id);
  const { right, stale } = await checkPassphrase(passphrase, kept?.hash);
  if (!right || person === undefined || kept === undefined) return undefined;
  if (stale && store.broken === undefined)
    store.secrets.put(
      `passphrase:${person.id}`,
      keptPassphrase(await hashPassphrase(passphrase), kept.mustChange),
    );
  return { id: person.id, mustChange: kept.mustChange };
}

/** A path on this site, or the list of jobs: a link may not send anyone elsewhere after signing in. */
function ownPath(next: string | undefined): string {
  return next !== undefined && /^\/(?![/\\])[\w\-./?=&%]*$/.test(next) ? next : '/';
}
