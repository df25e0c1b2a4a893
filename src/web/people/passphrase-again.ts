import type { FastifyRequest } from 'fastify';
import type { Issue } from '../../errors.js';
import { one, typedOf } from '../page/form.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { senderOf } from '../session/how-it-came.js';
import { tryPassphrase } from '../session/people.js';
import { makeThrottle, waitText } from '../session/sign-in-throttle.js';

/**
 * What is wrong with the passphrase that was typed beside a signature; undefined where it is the person's own, and then the session
 * has a new id. Throws `not-signed-in` where the session was ended meanwhile.
 */
export type PassphraseAgain = (request: FastifyRequest, field?: string) => Promise<Issue | undefined>;

/**
 * A signature, a key, and what is done to other people each ask for the passphrase again, every time: a phone left open on the bench
 * must not sign for its owner.
 */
export function askPassphraseAgain({ store, clock }: Services): PassphraseAgain {
  const throttle = makeThrottle(clock);
  return async (request, field = 'passphrase') => {
    const person = requirePerson(request);
    const attempt = { account: person.id, address: senderOf(request), device: request.session.sessionId };
    const waitS = throttle.waitS(attempt);
    if (waitS > 0) return { field, message: `too many tries: wait ${waitText(waitS)}` };
    throttle.counted(attempt);
    const { right } = await tryPassphrase(store, person.id, one(typedOf(request), field), { ahead: true });
    if (!right) {
      store.access.refused(person.id, 'again');
      request.log.info({ person: person.id, route: request.routeOptions.url }, 'passphrase again refused');
      return { field, message: 'is not yours: type the passphrase that you sign in with' };
    }
    throttle.succeeded(attempt);
    await request.renewSession();
    return undefined;
  };
}
