import type { FastifyInstance } from 'fastify';
import { shopBodies } from '../logbook/shop-entry.js';
import { one, read, typedOf } from './form.js';
import { authorOf, goTo, render, renderIssues, shopFormOf } from './page.js';
import type { Services } from './services.js';

/** The shop's name, place and units, and the key that signs its records. */
export function registerShopPage(app: FastifyInstance, { store }: Services): void {
  const model = () => {
    const { name, place, units, key, keys, entries } = store.shop.state();
    return {
      title: 'Shop',
      name,
      place,
      units,
      key: key && {
        fingerprint: key.fingerprint.replace(/(.{4})(?=.)/g, '$1 '),
        rootFingerprint: key.rootFingerprint.replace(/(.{4})(?=.)/g, '$1 '),
        made: key.at.slice(0, 10),
      },
      olderKeys: Math.max(0, keys.length - 1),
      entryCount: entries.length,
    };
  };

  app.get('/shop', async (_request, reply) => render(reply, 'shop', model()));

  app.post('/shop', async (request, reply) => {
    const typed = typedOf(request);
    const body = read(shopBodies['shop named'], {
      name: one(typed, 'name'),
      place: one(typed, 'place'),
      units: one(typed, 'units'),
    });
    if (!body.ok) return renderIssues(reply, 'shop', model(), body.issues);
    store.shop.append({
      by: authorOf(request),
      form: shopFormOf(request),
      decide: () => ({ ok: true, value: [{ kind: 'shop named', subject: '', body: body.value }] }),
    });
    return goTo(reply, '/shop', 'The shop is changed.');
  });
}
