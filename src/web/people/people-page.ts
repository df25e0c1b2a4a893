import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError, type Issue } from '../../errors.js';
import type { Person, Shop } from '../../logbook/fold-shop.js';
import { changePerson } from '../../logbook/shop-rules.js';
import { makePassphrase } from '../../store/people/passphrase.js';
import { many, one, typedOf } from '../page/form.js';
import { noteShop, refuseChanged } from '../page/meanwhile.js';
import { authorOf, goTo, render, renderIssues, shopFormOf } from '../page/page.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { addPersonWithPassphrase, newId, passphraseOf, setPassphrase } from '../session/people.js';
import { accessWords } from '../words/access-words.js';
import { whenText } from '../words/job-words.js';
import type { PassphraseAgain } from './passphrase-again.js';

const roleWords = {
  fitter: { label: 'Fitter', hint: 'does the work and writes it down' },
  checker: { label: 'Checker', hint: 'looks again and signs the second look' },
  keeper: { label: 'Keeper', hint: 'keeps people, instruments and keys' },
} as const;

/** Who is in the shop. Nobody is ever deleted: a person is retired, and the name stays in the logbook. */
export function registerPeoplePages(
  app: FastifyInstance,
  { store }: Services,
  passphraseAgain: PassphraseAgain,
): void {
  const find = (id: string): Person => {
    const person = store.shop.state().people.find((p) => p.id === id);
    if (person === undefined) throw new AppError('not-found', 'There is no such person.');
    return person;
  };
  const listModel = (request: FastifyRequest) => {
    const shop = store.shop.state();
    const devices = store.sessions.counts();
    return {
      title: 'People',
      wide: true,
      labels: { signIn: 'Sign-in name', vouchedBy: 'Vouched for by', passphrase: 'Your passphrase' },
      people: shop.people.map((p) => ({
        ...p,
        roleList: p.roles.join(', '),
        access: accessWords(store.access.of(p.id), store.shop.state().zone),
        devices: devices.get(p.id) ?? 0,
      })),
      roles: roleWords,
      me: requirePerson(request).name,
      given: passphrasesGiven(shop),
    };
  };
  const oneModel = (request: FastifyRequest, person: Person, given?: string) => {
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
  };

  app.get('/people', async (request, reply) => render(reply, 'people', listModel(request)));

  app.post('/people', async (request, reply) => {
    const typed = typedOf(request);
    const wrong = await passphraseAgain(request);
    if (wrong !== undefined) return renderIssues(reply, 'people', listModel(request), [wrong]);
    const passphrase = makePassphrase();
    const id = newId();
    const by = authorOf(request);
    const added = await addPersonWithPassphrase(store, {
      by,
      id,
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
    if (!added.ok) return renderIssues(reply, 'people', listModel(request), added.issues);
    if (added.value.id !== id) return giveAgain(request, reply, added.value, passphrase);
    return showGiven(reply, added.value, passphrase);
  });

  app.get<{ Params: { person: string } }>('/people/:person', async (request, reply) =>
    render(reply, 'person', oneModel(request, find(request.params.person))),
  );

  app.post<{ Params: { person: string } }>('/people/:person', async (request, reply) => {
    const person = find(request.params.person);
    const typed = typedOf(request);
    const active = one(typed, 'active') === 'yes';
    const by = authorOf(request);
    const wish = { name: one(typed, 'name'), roles: [...many(typed, 'roles')], active };
    const refuse = (issues: readonly Issue[]) =>
      renderIssues(reply, 'person', oneModel(request, person), issues);
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
    const { roles } = find(person.id);
    if (!active || roles.join() !== person.roles.join())
      store.sessions.endAll(person.id, request.session.sessionId);
    request.log.info({ person: by.id, about: person.id }, 'person changed');
    return goTo(reply, '/people', `${wish.name.trim()} is changed.`);
  });

  app.post<{ Params: { person: string } }>('/people/:person/passphrase', async (request, reply) => {
    const person = find(request.params.person);
    const wrong = person.active
      ? await passphraseAgain(request, 'passphrase.give')
      : { field: 'passphrase.give', message: `is of no use: ${person.name} is retired` };
    if (wrong !== undefined) return renderIssues(reply, 'person', oneModel(request, person), [wrong]);
    const passphrase = makePassphrase();
    request.log.info({ person: requirePerson(request).id, about: person.id }, 'passphrase given');
    await setPassphrase(store, { by: authorOf(request), person: person.id, passphrase, how: 'one-time' });
    return showGiven(reply, person, passphrase);
  });

  app.post<{ Params: { person: string } }>('/people/:person/sessions/end', async (request, reply) => {
    const person = find(request.params.person);
    store.sessions.endAll(person.id);
    request.log.info({ person: request.person?.id, about: person.id }, 'sessions ended');
    return goTo(
      reply,
      one(typedOf(request), 'list') === 'yes' ? '/people' : `/people/${person.id}`,
      `${person.name} is signed out everywhere.`,
    );
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
    return render(reply, 'person', oneModel(reply.request, person, passphrase));
  }
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
