import type { FastifyInstance, FastifyRequest } from 'fastify';
import { AppError, type Issue } from '../../errors.js';
import type { Instrument } from '../../logbook/fold-shop.js';
import { instrumentKinds, shopBodies } from '../../logbook/shop-entry.js';
import { addInstrument, changeInstrument } from '../../logbook/shop-rules.js';
import { localDay } from '../../logbook/time-zone.js';
import { questionInstrument } from '../../store/instrument-use.js';
import { askerOf } from '../job/job-at.js';
import { noteShop } from '../page/drawn-from.js';
import { one, read, typedOf } from '../page/form.js';
import { authorOf, goTo, render, renderIssues, shopFormOf } from '../page/page.js';
import { refuseChanged } from '../page/shop-meanwhile.js';
import type { Services } from '../services.js';
import { newId } from '../session/people.js';
import { calibrationLines } from './calibration.js';
import { instrumentFrom, labels, notYet, withIssues } from './instrument-form.js';
import { instrumentUseModel } from './instrument-use-model.js';

/** What the shop measures with. A reading keeps the instrument as it was when the reading was taken. */
export function registerInstrumentPages(app: FastifyInstance, services: Services): void {
  const { store, clock } = services;
  const find = (id: string): Instrument => {
    const found = store.shop.state().instruments.find((i) => i.id === id);
    if (found === undefined) throw new AppError('not-found', 'There is no such instrument.');
    return found;
  };
  const today = () => localDay(clock().toISOString(), store.shop.state().zone);
  const kinds = Object.entries(instrumentKinds).map(([value, label]) => ({ value, label }));
  const listModel = () => ({
    title: 'Instruments',
    wide: true,
    labels,
    kinds,
    instruments: calibrationLines(store.shop.state().instruments, clock().toISOString()),
  });
  const oneModel = (request: FastifyRequest, instrument: Instrument, since = '') => {
    noteShop(request, store.shop.state());
    return {
      title: instrument.name,
      labels,
      kinds,
      instrument,
      ...instrumentUseModel(store, instrument, since),
    };
  };

  app.get('/instruments', async (_request, reply) => render(reply, 'instruments', listModel()));

  app.post('/instruments', async (request, reply) => {
    const wish = instrumentFrom(typedOf(request), today());
    const added = store.shop.append({
      by: authorOf(request),
      form: shopFormOf(request),
      decide: (shop) => withIssues(wish.issues, addInstrument(shop, newId(), wish.value)),
    });
    if (!added.ok) return renderIssues(reply, 'instruments', listModel(), added.issues);
    return goTo(reply, '/instruments', `${one(typedOf(request), 'name').trim()} is on the shelf.`);
  });

  app.get<{ Params: { instrument: string }; Querystring: { since?: string } }>(
    '/instruments/:instrument',
    async (request, reply) =>
      render(reply, 'instrument', oneModel(request, find(request.params.instrument), request.query.since)),
  );

  app.post<{ Params: { instrument: string } }>('/instruments/:instrument/finding', async (request, reply) => {
    const instrument = find(request.params.instrument);
    const typed = typedOf(request);
    const body = read(shopBodies['instrument questioned'], {
      from: one(typed, 'from'),
      reason: one(typed, 'finding'),
    });
    const refuse = (issues: readonly Issue[]) => {
      const fields = issues.map((i) => (i.field === 'reason' ? { ...i, field: 'finding' } : i));
      return renderIssues(reply, 'instrument', oneModel(request, instrument), fields);
    };
    if (!body.ok) return refuse(body.issues);
    if (body.value.from > today()) return refuse([{ field: 'from', message: notYet }]);
    const { id, name, serial } = instrument;
    const by = askerOf(request, services).by;
    const form = shopFormOf(request);
    questionInstrument(store, { by, instrument: { id, name, serial }, ...body.value, form });
    return goTo(
      reply,
      `/instruments/${id}`,
      'Written into every job where it gave something from that day on.',
    );
  });

  app.post<{ Params: { instrument: string } }>('/instruments/:instrument', async (request, reply) => {
    const instrument = find(request.params.instrument);
    const typed = typedOf(request);
    const wish = instrumentFrom(typed, today());
    const changed = store.shop.append({
      by: authorOf(request),
      form: shopFormOf(request),
      decide: (shop) =>
        withIssues(
          wish.issues,
          refuseChanged(request, shop, instrument.id) ??
            changeInstrument(shop, instrument.id, {
              ...wish.value,
              retired: one(typed, 'retired') === 'yes',
            }),
        ),
    });
    if (!changed.ok) return renderIssues(reply, 'instrument', oneModel(request, instrument), changed.issues);
    return goTo(
      reply,
      '/instruments',
      `${instrument.name} is changed; readings taken before keep what it was.`,
    );
  });
}
