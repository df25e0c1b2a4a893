import type { FastifyRequest } from 'fastify';
import type { Issue } from '../errors.js';
import { checkPassphrase } from '../store/passphrase.js';
import { one, typedOf } from './form.js';
import { requirePerson } from './guard.js';
import { passphraseOf } from './people.js';
import type { Services } from './services.js';
import { makeThrottle } from './sign-in-throttle.js';

/** What is wrong with the passphrase that was typed beside a signature; undefined where it is the person's own. */
export type PassphraseAgain = (request: FastifyRequest) => Promise<Issue | undefined>;

/** Signing asks for the passphrase again: a phone left open on the bench must not sign for its owner. */
export function askPassphraseAgain({ store, clock }: Services): PassphraseAgain {
  const throttle = makeThrottle(clock);
  return async (request) => {
    const person = requirePerson(request);
    const waitS = throttle.waitS(person.id, request.ip);
    if (waitS > 0) return { field: 'passphrase', message: `too many tries: wait ${waitS} seconds` };
    const typed = one(typedOf(request), 'passphrase').slice(0, 200);
    // Counted before it is checked, so that tries sent all at once count as much as tries one after the other.
    throttle.failed(person.id, request.ip);
    const { right } = await checkPassphrase(typed, passphraseOf(store, person.id)?.hash);
    if (!right)
      return { field: 'passphrase', message: 'is not yours: type the passphrase that you sign in with' };
    throttle.succeeded(person.id, request.ip);
    return undefined;
  };
}
