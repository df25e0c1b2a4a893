import type { FastifyInstance, FastifyRequest } from 'fastify';
import { parseDecimal } from '../../circuit/units.js';
import { AppError, type Issue, type Result } from '../../errors.js';
import type { Instrument } from '../../logbook/fold-shop.js';
import { instrumentKinds, shopBodies } from '../../logbook/shop-entry.js';
import { addInstrument, changeInstrument } from '../../logbook/shop-rules.js';
import { localDay } from '../../logbook/time-zone.js';
import { questionInstrument } from '../../store/instrument-use.js';
import { askerOf } from '../job/job-at.js';
import { one, read, type Typed, typedOf } from '../page/form.js';
import { noteShop, refuseChanged } from '../page/meanwhile.js';
import { authorOf, goTo, render, renderIssues, shopFormOf } from '../page/page.js';
import type { Services } from '../services.js';
import { newId } from '../session/people.js';
import { calibrationLines } from './calibration.js';
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

const notYet = 'is a day that has not come yet';

const labels = {
  serial: 'Serial number',
  calibrated: 'Last calibrated',
  due: 'Calibration holds until',
  from: 'From which day on',
  finding: 'What was found, and how',
  'ohms.percent': 'Ohms, % of reading',
  'ohms.counts': 'Ohms, counts',
  'ohms.resolution': 'Ohms, last digit',
  'ohms.overLimit': 'OL above',
  'volts.percent': 'Volts, % of reading',
  'volts.counts': 'Volts, counts',
  'volts.resolution': 'Volts, last digit',
  inputOhms: 'Input',
};

/** The form as an instrument: an accuracy block counts where any figure of it was typed. */
function instrumentFrom(typed: Typed, today: string): { value: Record<string, unknown>; issues: Issue[] } {
  const issues: Issue[] = [];
  const figure = (field: string): number | undefined => {
    const text = one(typed, field).trim();
    if (text === '') return undefined;
    const value = parseDecimal(text);
    if (value === undefined) issues.push({ field, message: 'must be a number such as 0.5' });
    return value;
  };
  const block = (name: string, fields: readonly string[]) => {
    const entries = fields.map((field) => [field, figure(`${name}.${field}`)] as const);
    if (entries.every(([, value]) => value === undefined)) return undefined;
    for (const [field, value] of entries) {
      if (value === undefined && !issues.some((i) => i.field === `${name}.${field}`))
        issues.push({ field: `${name}.${field}`, message: 'is needed with the other figures beside it' });
    }
    return Object.fromEntries(entries);
  };
  if (one(typed, 'calibrated') > today) issues.push({ field: 'calibrated', message: notYet });
  const value = {
    kind: one(typed, 'kind'),
    name: one(typed, 'name'),
    serial: one(typed, 'serial'),
    calibrated: one(typed, 'calibrated'),
    due: one(typed, 'due') || undefined,
    ohms: block('ohms', ['percent', 'counts', 'resolution', 'overLimit']),
    volts: block('volts', ['percent', 'counts', 'resolution']),
    inputOhms: figure('inputOhms'),
  };
  return { value, issues };
}

/** Figures that could not be read are told first; the rest of the form is judged all the same. */
function withIssues<T>(issues: readonly Issue[], result: Result<T>): Result<T> {
  if (issues.length === 0) return result;
  const more = result.ok ? [] : result.issues.filter((i) => !issues.some((known) => known.field === i.field));
  return { ok: false, issues: [...more, ...issues] };
}
