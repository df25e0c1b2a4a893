import type { FastifyInstance, FastifyRequest } from 'fastify';
import { AppError } from '../../errors.js';
import { foldSignIn, type Person } from '../../logbook/fold-shop.js';
import { one, typedOf } from '../page/form.js';
import { keepFor, unpacked } from '../page/kept-form.js';
import { ownPath } from '../page/own-path.js';
import { goTo, render, renderIssues } from '../page/page.js';
import { signInModel } from '../page/sign-in-model.js';
import type { Services } from '../services.js';
import { senderOf } from '../session/how-it-came.js';
import { knownDevice, markDevice } from '../session/known-device.js';
import { type KeptPassphrase, keepAnew, tryPassphrase } from '../session/people.js';
import { makeThrottle, waitText } from '../session/sign-in-throttle.js';
import { accessWords } from '../words/access-words.js';

/** Signing in and out. A name that nobody has is answered like a wrong passphrase, after the same work. */
export function registerSignIn(app: FastifyInstance, services: Services): void {
  const { store, clock } = services;
  const throttle = makeThrottle(clock);

  app.get<{ Querystring: { next?: string } }>('/sign-in', async (request, reply) => {
    if (!store.shop.state().named) return reply.redirect('/set-up', 303);
    if (request.person !== undefined) return reply.redirect(ownPath(request.query.next), 303);
    return render(reply, 'sign-in', signInModel(ownPath(request.query.next)));
  });

  app.post('/sign-in', { config: { rateLimit: { max: 60, timeWindow: 60_000 } } }, async (request, reply) => {
    const typed = typedOf(request);
    const account = foldSignIn(one(typed, 'signIn').slice(0, 80));
    const next = ownPath(one(typed, 'next'));
    const before = unpacked(one(typed, 'kept'));
    const refuse = (message: string) =>
      renderIssues(reply, 'sign-in', signInModel(next, before), [{ field: 'signIn', message }]);
    const person = store.shop.state().people.find((p) => p.active && foldSignIn(p.signIn) === account);
    const device = knownDevice(request, services, person?.id);
    const attempt = { account, address: senderOf(request), device };
    const waitS = throttle.waitS(attempt);
    if (waitS > 0) {
      reply.header('retry-after', String(waitS));
      throw new AppError('too-many', `Too many tries. Wait ${waitText(waitS)} and try again.`);
    }
    throttle.counted(attempt);
    const passphrase = one(typed, 'passphrase');
    const { right, stale, kept } = await tryPassphrase(store, person?.id, passphrase, {
      ahead: device !== undefined,
    });
    if (!right || person === undefined || kept === undefined) {
      if (person !== undefined) store.access.refused(person.id, 'signIn');
      request.log.info({ person: person?.id }, 'sign-in refused');
      return refuse('This name and this passphrase do not belong together.');
    }
    throttle.succeeded(attempt);
    if (hasRunOut(kept, clock())) {
      request.log.info({ person: person.id }, 'sign-in refused: the passphrase that was given has run out');
      return refuse('The passphrase that you were given has run out: a keeper gives you another.');
    }
    await openSession(request, person);
    markDevice(request, reply, services, person.id);
    store.access.signedIn(person.id);
    request.log.info({ person: person.id }, 'signed in');
    if (stale && store.broken === undefined) await keepAnew(store, person.id, passphrase, kept);
    const tried = accessWords(store.access.of(person.id), store.shop.state().zone).atSignIn;
    const filled = before && keepFor(services, person.id, before);
    if (kept.mustChange)
      return goTo(
        reply,
        '/account',
        `This passphrase was given to you: choose your own now. ${tried}`.trim(),
      );
    return goTo(reply, filled ?? next, tried || undefined);
  });

  app.post('/sign-out', async (request, reply) => {
    request.log.info({ person: request.person?.id }, 'signed out');
    await request.session.destroy();
    // Not "storage": what was typed and waits on this phone is its owner's, and goes out when they sign in again.
    reply.header('clear-site-data', '"cache"');
    return reply.redirect('/sign-in', 303);
  });
}

/** A session of a new id for this person; what was in the one before is gone. */
export async function openSession(request: FastifyRequest, person: Pick<Person, 'id'>): Promise<void> {
  await request.session.regenerate();
  request.session.personId = person.id;
  request.session.agent = String(request.headers['user-agent'] ?? '').slice(0, 200);
}

function hasRunOut({ untilMs }: KeptPassphrase, now: Date): boolean {
  return untilMs !== undefined && now.getTime() > untilMs;
}
