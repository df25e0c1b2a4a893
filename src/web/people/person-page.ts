import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError, type Issue } from '../../errors.js';
import type { Person } from '../../logbook/fold-shop.js';
import { changePerson } from '../../logbook/shop-rules.js';
import { makePassphrase } from '../../store/people/passphrase.js';
import { noteShop } from '../page/drawn-from.js';
import { many, one, typedOf } from '../page/form.js';
import { authorOf, goTo, render, renderIssues, shopFormOf } from '../page/page.js';
import { refuseChanged } from '../page/shop-meanwhile.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { setPassphrase } from '../session/people.js';
import { accessWords } from '../words/access-words.js';
import type { PassphraseAgain } from './passphrase-again.js';

export const roleWords = {
  fitter: { label: 'Fitter', hint: 'does the work and writes it down' },
  checker: { label: 'Checker', hint: 'looks again and signs the second look' },
  keeper: { label: 'Keeper', hint: 'keeps people, instruments and keys' },
} as const;

/** `/people/:person`: one of them. Nobody is ever deleted: a person is retired, and the name stays in the logbook. */
export function registerPersonPage(
  app: FastifyInstance,
  services: Services,
  passphraseAgain: PassphraseAgain,
): void {
  const { store } = services;

  app.get<{ Params: { person: string } }>('/people/:person', async (request, reply) =>
    render(reply, 'person', personModel(services, request, personAt(services, request.params.person))),
  );

  app.post<{ Params: { person: string } }>('/people/:person', async (request, reply) => {
    const person = personAt(services, request.params.person);
    const typed = typedOf(request);
    const active = one(typed, 'active') === 'yes';
    const by = authorOf(request);
    const wish = { name: one(typed, 'name'), roles: [...many(typed, 'roles')], active };
    const refuse = (issues: readonly Issue[]) =>
      renderIssues(reply, 'person', personModel(services, request, person), issues);
    const could = changePerson(store.shop.state(), person.id, wish);
    if (!could.ok) return refuse(could.issues);
    const wrong = await passphraseAgain(request);
    if (wrong !== undefined) return refuse([wrong]);
    const changed = store.shop.append({
      by,
      form: shopFormOf(request),
      decide: (shop) => refuseChanged(request, shop, person.id) ?? changePerson(shop, person.id, wish),
    });
    if (!changed.ok) return refuse(changed.issues);
    // Whoever holds other roles now begins anew, on every device but the one on which they changed their own.
    const { roles } = personAt(services, person.id);
    if (!active || roles.join() !== person.roles.join())
      store.sessions.endAll(person.id, request.session.sessionId);
    request.log.info({ person: by.id, about: person.id }, 'person changed');
    return goTo(reply, '/people', `${wish.name.trim()} is changed.`);
  });

  app.post<{ Params: { person: string } }>('/people/:person/passphrase', async (request, reply) => {
    const person = personAt(services, request.params.person);
    const wrong = person.active
      ? await passphraseAgain(request, 'passphrase.give')
      : { field: 'passphrase.give', message: `is of no use: ${person.name} is retired` };
    if (wrong !== undefined)
      return renderIssues(reply, 'person', personModel(services, request, person), [wrong]);
    const passphrase = makePassphrase();
    request.log.info({ person: requirePerson(request).id, about: person.id }, 'passphrase given');
    return giveOneTime(services, reply, person, passphrase);
  });

  app.post<{ Params: { person: string } }>('/people/:person/sessions/end', async (request, reply) => {
    const person = personAt(services, request.params.person);
    store.sessions.endAll(person.id);
    request.log.info({ person: request.person?.id, about: person.id }, 'sessions ended');
    return goTo(
      reply,
      one(typedOf(request), 'list') === 'yes' ? '/people' : `/people/${person.id}`,
      `${person.name} is signed out everywhere.`,
    );
  });
}

/** Gives a person, in the session that asks for it, a passphrase that opens nothing but the choice of their own one, and shows it. */
export async function giveOneTime(
  services: Services,
  reply: FastifyReply,
  person: Person,
  passphrase: string,
): Promise<FastifyReply> {
  const { request } = reply;
  await setPassphrase(services.store, {
    by: authorOf(request),
    person: person.id,
    passphrase,
    how: 'one-time',
    session: request.session.sessionId,
  });
  return showGiven(services, reply, person, passphrase);
}

/** The only time that the passphrase is shown: it is kept as a hash. */
export function showGiven(
  services: Services,
  reply: FastifyReply,
  person: Person,
  passphrase: string,
): Promise<FastifyReply> {
  return render(reply, 'person', personModel(services, reply.request, person, passphrase));
}

function personAt({ store }: Services, id: string): Person {
  const person = store.shop.state().people.find((p) => p.id === id);
  if (person === undefined) throw new AppError('not-found', 'There is no such person.');
  return person;
}

function personModel({ store }: Services, request: FastifyRequest, person: Person, given?: string) {
  noteShop(request, store.shop.state());
  return {
    title: person.name,
    labels: { active: 'Standing', passphrase: 'Your passphrase', 'passphrase.give': 'Your passphrase' },
    subject: person,
    roles: roleWords,
    given,
    sessions: store.sessions.ofPerson(person.id).length,
    access: accessWords(store.access.of(person.id), store.shop.state().zone),
  };
}
