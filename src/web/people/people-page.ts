import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { Person, Shop } from '../../logbook/fold-shop.js';
import { makePassphrase } from '../../store/people/passphrase.js';
import { many, one, typedOf } from '../page/form.js';
import { authorOf, goTo, render, renderIssues, shopFormOf } from '../page/page.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { addPersonWithPassphrase, newId, passphraseOf } from '../session/people.js';
import { accessWords } from '../words/access-words.js';
import { whenText } from '../words/job-words.js';
import type { PassphraseAgain } from './passphrase-again.js';
import { giveOneTime, roleWords, showGiven } from './person-page.js';

/** `/people`: who is in the shop, and the form for another. */
export function registerPeoplePage(
  app: FastifyInstance,
  services: Services,
  passphraseAgain: PassphraseAgain,
): void {
  const { store } = services;

  app.get('/people', async (request, reply) => render(reply, 'people', listModel(services, request)));

  app.post('/people', async (request, reply) => {
    const typed = typedOf(request);
    const wrong = await passphraseAgain(request);
    if (wrong !== undefined) return renderIssues(reply, 'people', listModel(services, request), [wrong]);
    const passphrase = makePassphrase();
    const id = newId();
    const by = authorOf(request);
    const added = await addPersonWithPassphrase(store, {
      by,
      id,
      session: request.session.sessionId,
      form: shopFormOf(request),
      person: {
        name: one(typed, 'name'),
        signIn: one(typed, 'signIn'),
        roles: [...many(typed, 'roles')],
        vouchedBy: one(typed, 'vouchedBy').trim() || by.name,
      },
      passphrase,
      how: 'one-time',
    });
    if (!added.ok) return renderIssues(reply, 'people', listModel(services, request), added.issues);
    if (added.value.id !== id) return giveAgain(services, reply, added.value, passphrase);
    return showGiven(services, reply, added.value, passphrase);
  });
}

/** The form came twice and only this answer is seen: the passphrase of the first is not kept, so another takes its place. */
async function giveAgain(
  services: Services,
  reply: FastifyReply,
  person: Person,
  passphrase: string,
): Promise<FastifyReply> {
  if (passphraseOf(services.store, person.id)?.mustChange !== true)
    return goTo(reply, `/people/${person.id}`);
  return giveOneTime(services, reply, person, passphrase);
}

function listModel({ store }: Services, request: FastifyRequest) {
  const shop = store.shop.state();
  const devices = store.sessions.counts();
  return {
    title: 'People',
    wide: true,
    labels: { signIn: 'Sign-in name', vouchedBy: 'Vouched for by', passphrase: 'Your passphrase' },
    people: shop.people.map((p) => ({
      ...p,
      roleList: p.roles.join(', '),
      access: accessWords(store.access.of(p.id), shop.zone),
      devices: devices.get(p.id) ?? 0,
    })),
    roles: roleWords,
    me: requirePerson(request).name,
    given: passphrasesGiven(shop),
  };
}

/** Passphrases that one gave another, newest first: whoever keeps the shop sees what was done in its name. */
function passphrasesGiven({ entries, people, zone }: Shop) {
  return entries
    .flatMap((entry) =>
      entry.kind === 'passphrase set' &&
      (entry.body.how === 'one-time' || entry.body.how === 'at-the-machine')
        ? [
            {
              to: people.find((p) => p.id === entry.subject)?.name ?? entry.subject,
              by: entry.by.name,
              when: whenText(entry.at, zone),
              machine: entry.body.how === 'at-the-machine',
            },
          ]
        : [],
    )
    .slice(-8)
    .reverse();
}
