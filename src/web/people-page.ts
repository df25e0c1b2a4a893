import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError } from '../errors.js';
import type { Person, Shop } from '../logbook/fold-shop.js';
import { changePerson } from '../logbook/shop-rules.js';
import { makePassphrase } from '../store/passphrase.js';
import { many, one, typedOf } from './form.js';
import { whenText } from './job-words.js';
import { authorOf, goTo, render, renderIssues, shopFormOf } from './page.js';
import { addPersonWithPassphrase, newId, passphraseOf, setPassphrase } from './people.js';
import type { Services } from './services.js';

export const roleWords = {
  fitter: { label: 'Fitter', hint: 'does the work and writes it down' },
  checker: { label: 'Checker', hint: 'looks again and signs the second look' },
  keeper: { label: 'Keeper', hint: 'keeps people, instruments and keys' },
} as const;

/** Who is in the shop. Nobody is ever deleted: a person is retired, and the name stays in the logbook. */
export function registerPeoplePages(app: FastifyInstance, { store }: Services): void {
  const find = (id: string): Person => {
    const person = store.shop.state().people.find((p) => p.id === id);
    if (person === undefined) throw new AppError('not-found', 'There is no such person.');
    return person;
  };
  const listModel = () => ({
    title: 'People',
    labels: { signIn: 'Sign-in name', vouchedBy: 'Vouched for by' },
    people: store.shop.state().people.map((p) => ({ ...p, roleList: p.roles.join(', ') })),
    roles: roleWords,
    given: passphrasesGiven(store.shop.state()),
  });
  const oneModel = (person: Person, given?: string) => ({
    title: person.name,
    labels: { active: 'Standing' },
    subject: person,
    roles: roleWords,
    given,
    sessions: store.sessions.ofPerson(person.id).length,
  });

  app.get('/people', async (_request, reply) => render(reply, 'people', listModel()));

  app.post('/people', async (request, reply) => {
    const typed = typedOf(request);
    const passphrase = makePassphrase();
    const id = newId();
    const added = await addPersonWithPassphrase(store, {
      by: authorOf(request),
      id,
      form: shopFormOf(request),
      person: {
        name: one(typed, 'name'),
        signIn: one(typed, 'signIn'),
        roles: [...many(typed, 'roles')],
        vouchedBy: one(typed, 'vouchedBy'),
      },
      passphrase,
      how: 'one-time',
    });
    if (!added.ok) return renderIssues(reply, 'people', listModel(), added.issues);
    if (added.value.id !== id) return giveAgain(request, reply, added.value, passphrase);
    return showGiven(reply, added.value, passphrase);
  });

  app.get<{ Params: { person: string } }>('/people/:person', async (request, reply) =>
    render(reply, 'person', oneModel(find(request.params.person))),
  );

  app.post<{ Params: { person: string } }>('/people/:person', async (request, reply) => {
    const person = find(request.params.person);
    const typed = typedOf(request);
    const active = one(typed, 'active') === 'yes';
    const wish = { name: one(typed, 'name'), roles: [...many(typed, 'roles')], active };
    const changed = store.shop.append({
      by: authorOf(request),
      form: shopFormOf(request),
      decide: (shop) => changePerson(shop, person.id, wish),
    });
    if (!changed.ok) return renderIssues(reply, 'person', oneModel(person), changed.issues);
    if (!active) store.sessions.endAll(person.id);
    return goTo(reply, '/people', `${wish.name.trim()} is changed.`);
  });

  app.post<{ Params: { person: string } }>('/people/:person/passphrase', async (request, reply) => {
    const person = find(request.params.person);
    const passphrase = makePassphrase();
    await setPassphrase(store, { by: authorOf(request), person: person.id, passphrase, how: 'one-time' });
    return showGiven(reply, person, passphrase);
  });

  app.post<{ Params: { person: string } }>('/people/:person/sessions/end', async (request, reply) => {
    const person = find(request.params.person);
    store.sessions.endAll(person.id);
    return goTo(reply, `/people/${person.id}`, `${person.name} is signed out everywhere.`);
  });

  /** The form came twice and only this answer is seen: the passphrase of the first is not kept, so another takes its place. */
  async function giveAgain(
    request: FastifyRequest,
    reply: FastifyReply,
    person: Person,
    passphrase: string,
  ): Promise<FastifyReply> {
    if (passphraseOf(store, person.id)?.mustChange !== true) return goTo(reply, `/people/${person.id}`);
    await setPassphrase(store, { by: authorOf(request), person: person.id, passphrase, how: 'one-time' });
    return showGiven(reply, person, passphrase);
  }

  /** The only time that the passphrase is shown: it is kept as a hash. */
  function showGiven(reply: FastifyReply, person: Person, passphrase: string): Promise<FastifyReply> {
    return render(reply, 'person', oneModel(person, passphrase));
  }
}

/** Passphrases that one gave another, newest first: whoever keeps the shop sees what was done in its name. */
function passphrasesGiven({ entries, people }: Shop) {
  return entries
    .flatMap((entry) =>
      entry.kind === 'passphrase set' &&
      (entry.body.how === 'one-time' || entry.body.how === 'at-the-machine')
        ? [
            {
              to: people.find((p) => p.id === entry.subject)?.name ?? entry.subject,
              by: entry.by.name,
              when: whenText(entry.at),
              machine: entry.body.how === 'at-the-machine',
            },
          ]
        : [],
    )
    .slice(-8)
    .reverse();
}
