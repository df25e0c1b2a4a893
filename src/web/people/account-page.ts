import type { FastifyInstance, FastifyReply } from 'fastify';
import type { Issue } from '../../errors.js';
import { passphraseIssues } from '../../store/people/passphrase.js';
import { one, typedOf } from '../page/form.js';
import { keptLast } from '../page/kept-form.js';
import { ownPath } from '../page/own-path.js';
import { authorOf, goTo, render, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { passphraseOf, setPassphrase } from '../session/people.js';
import { accessWords } from '../words/access-words.js';
import { whenText } from '../words/job-words.js';
import type { PassphraseAgain } from './passphrase-again.js';

/** One's own passphrase, the devices that are signed in, and what one was told. */
export function registerAccountPages(
  app: FastifyInstance,
  services: Services,
  passphraseAgain: PassphraseAgain,
): void {
  const { store } = services;
  const model = (reply: FastifyReply) => {
    const person = requirePerson(reply.request);
    const { zone } = store.shop.state();
    const here = store.sessions.handleOf(reply.request.session.sessionId);
    return {
      title: person.name,
      labels: { current: 'Passphrase now', passphrase: 'New passphrase', again: 'The new passphrase again' },
      signIn: person.signIn,
      roles: person.roles.join(', '),
      mustChange: passphraseOf(store, person.id)?.mustChange === true,
      access: accessWords(store.access.of(person.id), zone),
      sessions: store.sessions.ofPerson(person.id).map((s) => ({
        handle: s.handle,
        kind: /Mobi|Android|iPhone|iPad/.test(s.agent) ? 'a phone or tablet' : 'a computer',
        agent: s.agent || 'a browser that does not say its name',
        since: whenText(new Date(s.madeMs).toISOString(), zone),
        seen: whenText(new Date(s.seenMs).toISOString(), zone),
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
      if (wanted === one(typed, 'current') && issues.length === 0)
        issues.push({ field: 'passphrase', message: 'is the one you have now; choose another' });
      const wrong = await passphraseAgain(request, 'current');
      if (wrong !== undefined) issues.unshift(wrong);
      if (issues.length > 0) return renderIssues(reply, 'account', model(reply), issues);
      await setPassphrase(store, {
        by: authorOf(request),
        person: person.id,
        passphrase: wanted,
        how: 'own',
        session: request.session.sessionId,
      });
      request.log.info({ person: person.id }, 'passphrase changed');
      const filled = keptLast(services, person.id);
      return goTo(
        reply,
        '/account',
        'Your passphrase is changed; your other devices are signed out.',
        filled === undefined ? undefined : { href: filled, label: 'To what you typed before, not sent yet' },
      );
    },
  );

  app.post('/account/sessions/end', async (request, reply) => {
    const person = requirePerson(request);
    const handle = one(typedOf(request), 'handle');
    request.log.info({ person: person.id }, 'sessions ended');
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

  app.post('/account/notices', async (request, reply) => {
    const typed = typedOf(request);
    const seq = one(typed, 'seq');
    const newest = store.shop.state().entries.at(-1)?.seq ?? 0;
    if (/^\d{1,9}$/.test(seq)) store.access.noted(requirePerson(request).id, Math.min(Number(seq), newest));
    return goTo(reply, ownPath(one(typed, 'next')));
  });
}
