import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { AppError, type Issue } from '../../errors.js';
import { shopBodies } from '../../logbook/shop-entry.js';
import { signInIssues } from '../../logbook/shop-rules.js';
import { makeShopKeys } from '../../record/keys.js';
import { keepKeys } from '../../store/keep-keys.js';
import { passphraseIssues } from '../../store/people/passphrase.js';
import { one, read, typedOf } from '../page/form.js';
import { goTo, render, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { addPersonWithPassphrase, newId } from '../session/people.js';
import { zones } from '../words/zone-options.js';
import { openSession } from './sign-in-page.js';

const model = {
  title: 'Set up the shop',
  zones,
  labels: {
    token: 'Set-up token from the terminal',
    shopName: 'Name of the shop',
    reach: 'How owners reach you',
    zone: 'Time zone',
    name: 'Your name',
    signIn: 'Sign-in name',
    again: 'The same passphrase again',
  },
};

/** First start: whoever can read the terminal names the shop, makes its first person and its signing key. */
export function registerSetUp(app: FastifyInstance, services: Services): void {
  const { store, setUp, clock } = services;
  let busy = false;

  app.get('/set-up', async (_request, reply) =>
    store.shop.state().named ? reply.redirect('/', 303) : render(reply, 'set-up', model),
  );

  app.post('/set-up', { config: { rateLimit: { max: 10, timeWindow: 60_000 } } }, async (request, reply) => {
    if (store.shop.state().named) throw new AppError('not-found', 'The shop is set up already.');
    const typed = typedOf(request);
    if (!setUp.matches(one(typed, 'token'), clock()))
      return renderIssues(reply, 'set-up', model, [
        { field: 'token', message: 'is not the one that the terminal shows, or it has expired' },
      ]);
    const wish = {
      shop: {
        name: one(typed, 'shopName'),
        place: one(typed, 'place'),
        reach: one(typed, 'reach'),
        units: one(typed, 'units'),
        zone: one(typed, 'zone'),
      },
      person: {
        name: one(typed, 'name'),
        signIn: one(typed, 'signIn'),
        roles: ['fitter', 'checker', 'keeper'],
      },
      passphrase: one(typed, 'passphrase'),
    };
    const issues = setUpIssues(wish, one(typed, 'again'));
    if (busy) throw new AppError('out-of-order', 'The shop is being made by another form.');
    if (issues.length > 0) return renderIssues(reply, 'set-up', model, issues);
    busy = true;
    try {
      const person = await makeShop(services, wish);
      if (!person.ok) return await renderIssues(reply, 'set-up', model, person.issues);
      setUp.spend();
      await openSession(request, person.value);
      return goTo(reply, '/', `${wish.shop.name.trim()} is set up, with a signing key of its own.`);
    } finally {
      busy = false;
    }
  });
}

interface NewShop {
  readonly shop: {
    readonly name: string;
    readonly place: string;
    readonly reach?: string;
    readonly units: string;
    readonly zone?: string;
  };
  readonly person: {
    readonly name: string;
    readonly signIn: string;
    readonly roles: readonly string[];
    readonly vouchedBy?: string;
  };
  readonly passphrase: string;
  readonly id?: string;
}

/** Makes the shop: its first person with a passphrase, its name, its signing key. The person holds the first entry. */
export async function makeShop({ store, clock }: Pick<Services, 'store' | 'clock'>, wish: NewShop) {
  const shop = shopBodies['shop named'].parse(wish.shop);
  const id = wish.id ?? newId();
  const person = await addPersonWithPassphrase(store, {
    by: 'self',
    person: wish.person,
    passphrase: wish.passphrase,
    how: 'set-up',
    id,
  });
  if (!person.ok) return person;
  const keys = makeShopKeys({ shopName: shop.name, now: clock(), secret: store.secret.keyPassphrase });
  keepKeys(store, {
    by: { id, name: person.value.name },
    keys,
    reason: 'first start',
    ahead: [{ kind: 'shop named', subject: '', body: shop }],
  });
  return person;
}

const namesSchema = z.object({
  shopName: shopBodies['shop named'].shape.name,
  place: shopBodies['shop named'].shape.place,
  reach: shopBodies['shop named'].shape.reach,
  units: z.enum(['imperial', 'metric'], { error: 'choose one of the two' }),
  zone: shopBodies['shop named'].shape.zone.unwrap(),
  name: shopBodies['person added'].shape.name,
  signIn: shopBodies['person added'].shape.signIn,
});

function setUpIssues(wish: NewShop, again: string): Issue[] {
  const { shop, person, passphrase } = wish;
  const named = read(namesSchema, {
    shopName: shop.name,
    place: shop.place,
    reach: shop.reach,
    units: shop.units,
    zone: shop.zone,
    name: person.name,
    signIn: person.signIn,
  });
  const issues = named.ok ? signInIssues(person.signIn) : [...named.issues];
  issues.push(...passphraseIssues(passphrase, 'passphrase', [person.name, person.signIn, shop.name]));
  if (passphrase !== again)
    issues.push({ field: 'again', message: 'is not the same as the passphrase above' });
  return issues;
}
