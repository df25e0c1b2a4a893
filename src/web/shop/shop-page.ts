import type { FastifyInstance, FastifyRequest } from 'fastify';
import { shopBodies } from '../../logbook/shop-entry.js';
import { grouped } from '../../record/grouped.js';
import { makeShopKeys } from '../../record/keys.js';
import { keepKeys } from '../../store/keep-keys.js';
import { signingFault } from '../../store/shop-signer.js';
import { noteShop } from '../page/drawn-from.js';
import { one, overLong, read, typedOf } from '../page/form.js';
import { authorOf, goTo, render, renderIssues, shopFormOf } from '../page/page.js';
import { refuseChanged } from '../page/shop-meanwhile.js';
import type { PassphraseAgain } from '../people/passphrase-again.js';
import type { Services } from '../services.js';
import { dayOf } from '../words/job-words.js';
import { zones } from '../words/zone-options.js';
import { calibrationLines } from './calibration.js';
import { termLines } from './key-term-lines.js';
import { upkeepModel } from './upkeep-page.js';

/** The shop's name, place and units, and the key that signs its records. */
export function registerShopPage(
  app: FastifyInstance,
  services: Services,
  passphraseAgain: PassphraseAgain,
): void {
  const { store, clock } = services;
  const model = (request: FastifyRequest) => shopModel(services, request);

  app.get('/shop', async (request, reply) => render(reply, 'shop', model(request)));

  app.post('/shop', async (request, reply) => {
    const typed = typedOf(request);
    const body = read(shopBodies['shop named'], {
      name: one(typed, 'name'),
      place: one(typed, 'place'),
      reach: one(typed, 'reach'),
      units: one(typed, 'units'),
      zone: one(typed, 'zone'),
    });
    if (!body.ok) return renderIssues(reply, 'shop', model(request), body.issues);
    const named = store.shop.append({
      by: authorOf(request),
      form: shopFormOf(request),
      decide: (shop) =>
        refuseChanged(request, shop, '') ?? {
          ok: true,
          value: [{ kind: 'shop named', subject: '', body: body.value }],
        },
    });
    if (!named.ok) return renderIssues(reply, 'shop', model(request), named.issues);
    return goTo(reply, '/shop', 'The shop is changed.');
  });

  app.post('/shop/key', async (request, reply) => {
    const reason = one(typedOf(request), 'reason').trim();
    const issues = [
      ...(reason === '' ? [{ field: 'reason', message: 'say why a new key is made' }] : []),
      ...overLong('reason', reason, 300),
    ];
    if (issues.length > 0) return renderIssues(reply, 'shop', model(request), issues);
    const wrong = await passphraseAgain(request);
    if (wrong !== undefined) return renderIssues(reply, 'shop', model(request), [wrong]);
    const { name } = store.shop.state();
    const keys = makeShopKeys({ shopName: name, now: clock(), secret: store.secret.keyPassphrase });
    const kept = keepKeys(store, { by: authorOf(request), keys, reason, form: shopFormOf(request) });
    if (!kept.ok) return renderIssues(reply, 'shop', model(request), kept.issues);
    const said =
      'Records are signed with the new key from now on. Give its fingerprint to those who check them.';
    return goTo(reply, '/shop', said);
  });
}

/** Everything that the page of the shop shows. */
function shopModel(services: Services, request: FastifyRequest) {
  const { store, clock, signer } = services;
  noteShop(request, store.shop.state());
  const { name, place, reach, units, zone, key, entries, instruments, people } = store.shop.state();
  const shelf = calibrationLines(instruments, clock().toISOString()).filter((i) => !i.retired);
  return {
    title: 'Shop',
    labels: {
      reason: 'Why',
      passphrase: 'Your passphrase',
      reach: 'How owners reach you',
      zone: 'Time zone',
    },
    keyFault: signingFault(store, clock(), signer),
    shelf,
    people: people
      .filter((p) => p.active)
      .map((p) => ({ id: p.id, name: p.name, roles: p.roles.join(', ') })),
    name,
    place,
    reach,
    units,
    zone,
    zones,
    key: key && {
      fingerprint: grouped(key.fingerprint),
      rootFingerprint: grouped(key.rootFingerprint),
      made: dayOf(key.at, zone),
    },
    terms: termLines(services),
    entryCount: entries.length,
    upkeep: upkeepModel(services, zone),
  };
}
