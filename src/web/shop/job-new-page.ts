import type { FastifyInstance, FastifyRequest } from 'fastify';
import { words } from '../../circuit/circuit.js';
import { entryBodies } from '../../logbook/entry.js';
import type { Role } from '../../logbook/shop-entry.js';
import { accept } from '../../steps/accept.js';
import { sketchQuery, sketchTyped } from '../circuit/sketch-form.js';
import { askerOf, jobAt, writeEntry } from '../job/job-at.js';
import { keyOf, many, one, read, type Typed, typedOf } from '../page/form.js';
import { authorOf, contentOf, goTo, render, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { jobPath } from '../words/job-words.js';

/** A new job, and the same form for a job whose van, owner or place was written wrong. */
export function registerJobNew(app: FastifyInstance, services: Services): void {
  const { store } = services;
  const named = (role: Role) =>
    store.shop
      .state()
      .people.filter((p) => p.active && p.roles.includes(role))
      .map((p) => ({ value: p.name, label: p.name }));
  const model = (request: FastifyRequest, more: Record<string, unknown>) => ({
    title: 'A new job',
    labels: {
      'vehicle.description': 'Description',
      'vehicle.plate': 'Plate',
      'vehicle.vin': 'VIN',
      place: 'Where the work is done',
    },
    action: '/jobs',
    fitters: named('fitter'),
    checkers: named('checker'),
    uses: Object.entries(words.vehicleUse).map(([value, label]) => ({ value, label })),
    me: request.person?.name ?? '',
    backTo: { href: '/', label: 'Jobs' },
    ...more,
  });

  /** A sketch goes along from page to page as its address, until the circuit's form takes it. */
  const sketchIn = (query: unknown): string => {
    const sketched = sketchTyped(query, store.shop.state().units);
    return sketched === undefined ? '' : sketchQuery(sketched).toString();
  };

  app.get('/jobs/new', async (request, reply) =>
    render(reply, 'job-new', model(request, { sketch: sketchIn(request.query) })),
  );

  app.post('/jobs', async (request, reply) => {
    const typed = typedOf(request);
    const body = read(entryBodies['job described'], describedFrom(typed));
    const sketch = sketchIn(Object.fromEntries(new URLSearchParams(one(typed, 'sketch'))));
    const again = model(request, { sketch });
    if (!body.ok) return renderIssues(reply, 'job-new', again, body.issues);
    const opened = store.jobs.open({
      by: authorOf(request),
      key: keyOf(request),
      content: contentOf(request),
      decide: (log) =>
        accept(log, { kind: 'job described', subject: 'job', body: body.value }, askerOf(request, services)),
    });
    if (!opened.ok) return renderIssues(reply, 'job-new', again, opened.issues);
    const use = one(typed, 'use') === 'work-van' ? 'work-van' : 'living-quarters';
    return goTo(
      reply,
      `${jobPath(opened.value.number, 'circuit')}?use=${use}${sketch === '' ? '' : `&${sketch}`}`,
      `Job ${opened.value.number} is open.`,
    );
  });

  app.get('/jobs/:job/description', async (request, reply) => {
    const at = jobAt(services, request);
    return render(reply, 'job-new', changeModel(request, at));
  });

  app.post('/jobs/:job/description', async (request, reply) => {
    const at = jobAt(services, request);
    const body = read(entryBodies['job described'], describedFrom(typedOf(request)));
    if (!body.ok) return renderIssues(reply, 'job-new', changeModel(request, at), body.issues);
    const written = await writeEntry(request, services, at.number, {
      kind: 'job described',
      subject: 'job',
      body: body.value,
    });
    if (!written.ok) return renderIssues(reply, 'job-new', changeModel(request, at), written.issues);
    return goTo(
      reply,
      jobPath(at.number),
      'The description is changed; the one before stays in the logbook.',
    );
  });

  function changeModel(request: FastifyRequest, at: ReturnType<typeof jobAt>) {
    return model(request, {
      title: `Change the description of job ${at.number}`,
      action: jobPath(at.number, 'description'),
      at: at.log.described,
      backTo: 'job',
    });
  }
}

function describedFrom(typed: Typed) {
  return {
    vehicle: {
      description: one(typed, 'vehicle.description'),
      plate: one(typed, 'vehicle.plate'),
      vin: one(typed, 'vehicle.vin'),
      invented: many(typed, 'vehicle.invented').includes('yes'),
    },
    owner: one(typed, 'owner'),
    place: one(typed, 'place'),
    fitter: one(typed, 'fitter'),
    checker: one(typed, 'checker'),
  };
}
