import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Issue } from '../errors.js';
import { checkPassphrase, passphraseIssues } from '../store/passphrase.js';
import { one, typedOf } from './form.js';
import { requirePerson } from './guard.js';
import { authorOf, goTo, render, renderIssues } from './page.js';
import { passphraseOf, setPassphrase } from './people.js';
import type { Services } from './services.js';

/** One's own passphrase and the devices that are signed in. */
export function registerAccountPages(app: FastifyInstance, { store }: Services): void {
  const model = (reply: FastifyReply) => {
    const person = requirePerson(reply.request);
    const here = store.sessions.handleOf(reply.request.session.sessionId);
    return {
      title: person.name,
      labels: { current: 'Passphrase now', passphrase: 'New passphrase', again: 'The new passphrase again' },
      signIn: person.signIn,
      roles: person.roles.join(', '),
      mustChange: passphraseOf(store, person.id)?.mustChange === true,
      sessions: store.sessions.ofPerson(person.id).map((s) => ({
        handle: s.handle,
        agent: s.agent || 'a browser that does not say its name',
        since: new Date(s.madeMs).toISOString().slice(0, 16).replace('T', ' '),
        seen: new Date(s.seenMs).toISOString().slice(0, 16).replace('T', ' '),
        here: s.handle === here,
      })),
    };
  };

  app.get('/account', async (_request, reply) => render(reply, 'account', model(reply)));

  app.post(
    '/account/passphrase',
    { config: { rateLimit: { max: 10, timeWindow: 60_000 } } },
    async (request, reply) => {
      const person = requirePerson(request);
      const typed = typedOf(request);
      const wanted = one(typed, 'passphrase');
      const issues: Issue[] = passphraseIssues(wanted, 'passphrase', [person.name, person.signIn]);
      if (wanted !== one(typed, 'again'))
        issues.push({ field: 'again', message: 'is not the same as the passphrase above' });
      const kept = passphraseOf(store, person.id);
      if (!(await checkPassphrase(one(typed, 'current').slice(0, 200), kept?.hash)).right)
        issues.unshift({ field: 'current', message: 'is not your passphrase now' });
      if (issues.length > 0) return renderIssues(reply, 'account', model(reply), issues);
      await setPassphrase(store, {
        by: authorOf(request),
        person: person.id,
        passphrase: wanted,
        how: 'own',
        exceptSession: request.session.sessionId,
      });
      return goTo(reply, '/account', 'Your passphrase is changed; your other devices are signed out.');
    },
  );

  app.post('/account/sessions/end', async (request, reply) => {
    const person = requirePerson(request);
    const handle = one(typedOf(request), 'handle');
    if (handle === 'others') {
      const ended = store.sessions.endAll(person.id, request.session.sessionId);
      return goTo(
        reply,
        '/account',
        ended === 1 ? 'One other device is signed out.' : `${ended} other devices are signed out.`,
      );
    }
    const ended = store.sessions.endByHandle(person.id, handle);
    return goTo(
      reply,
      '/account',
      ended ? 'That device is signed out.' : 'That device was signed out already.',
    );
  });
}
