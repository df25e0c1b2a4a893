import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { changedParts } from '../../circuit/changed-parts.js';
import { type Circuit, words } from '../../circuit/circuit.js';
import type { UnitSystem } from '../../circuit/units.js';
import { AppError, type Issue } from '../../errors.js';
import { circuitAt, type JobLog } from '../../logbook/job-log.js';
import { rulesVersion } from '../../trade/rules-version.js';
import { type JobAt, jobAt, writeEntry } from '../job/job-at.js';
import { nextModel } from '../job/job-next-model.js';
import { reopenedBy } from '../job/reopened.js';
import { seenBy } from '../page/drawn-from.js';
import { type FlatTyped, flat, overLong, typedOf } from '../page/form.js';
import { filledAgain } from '../page/kept-form.js';
import { goTo, render } from '../page/page.js';
import type { Services } from '../services.js';
import { jobPath } from '../words/job-words.js';
import { afterAct, fieldAfter, firstTyped, withoutEmptyLoads } from './circuit-acts.js';
import { fieldModel, labelsOf } from './circuit-field-model.js';
import { loadTicks, outletFields, sectionsBefore, sourceFields } from './circuit-fields.js';
import { circuitFromTyped, countOf, loadsOf, typedFromCircuit } from './circuit-form.js';
import { withTheirChanges } from './circuit-merge.js';
import { sameParts } from './same-parts.js';
import { sketchForJob } from './sketch-form.js';

type Query = { use?: string };

/** `/jobs/:job/circuit`: what is to be built, as one form. Its small buttons add, move and take out without losing a letter. */
export function registerCircuitPage(app: FastifyInstance, services: Services): void {
  const units = () => services.store.shop.state().units;
  const modelOf = (at: JobAt, typed: FlatTyped) => ({
    ...circuitModel(at, typed, units()),
    sameParts: sameParts(services, at, typed, units()),
  });

  app.get<{ Querystring: Query }>('/jobs/:job/circuit', async (request, reply) => {
    const at = jobAt(services, request);
    const start = firstTyped(units());
    const { use = '' } = request.query;
    const again = filledAgain(request)?.kept;
    const typed = again
      ? flat(again.typed)
      : at.log.circuit
        ? typedFromCircuit(at.log.circuit, units())
        : {
            ...start,
            ...(Object.hasOwn(words.vehicleUse, use) ? { vehicleUse: use } : {}),
            ...sketchForJob(request.query, units()),
          };
    return render(reply, 'circuit', modelOf(at, typed), { typed });
  });

  app.post('/jobs/:job/circuit', async (request, reply) => {
    const at = jobAt(services, request);
    const { act = 'save', ...typed } = flat(typedOf(request));
    if (act === 'save') return save(request, reply, at, withoutEmptyLoads(typed, units()));
    if (act === 'parts') {
      const { job: filledFrom, filled = typed } = sameParts(services, at, typed, units()) ?? {};
      const model = { ...circuitModel(at, filled, units()), filledFrom };
      return render(reply, 'circuit', model, { typed: filled });
    }
    const after = afterAct(typed, act, units());
    const model = { ...modelOf(at, after), focus: fieldAfter(after, act) };
    return render(reply, 'circuit', model, { typed: after });
  });

  const save = async (request: FastifyRequest, reply: FastifyReply, at: JobAt, typed: FlatTyped) => {
    // A form is sent in the order of its page, and what must be mended is told in the same.
    const order = Object.keys(typed);
    const refuse = (issues: readonly Issue[]) =>
      render(reply, 'circuit', modelOf(at, typed), {
        status: 422,
        typed,
        issues: [...issues].sort((a, b) => order.indexOf(a.field) - order.indexOf(b.field)),
      });
    const before = at.log.circuit && { circuit: at.log.circuit, units: units() };
    const circuit = circuitFromTyped(typed, before);
    if (!circuit.ok) return refuse(circuit.issues);
    const reason = (typed.reason ?? '').trim();
    const long = overLong('reason', reason);
    if (long.length > 0) return refuse(long);
    const written = await writeEntry(request, services, at.number, {
      kind: 'circuit set',
      subject: 'job',
      body: { circuit: circuit.value, rules: rulesVersion, reason },
    });
    if (!written.ok && request.meanwhile !== undefined) {
      const back = merged(at.log, seenBy(request, at.log), typed, units());
      const model = { ...modelOf(at, back.typed), meanwhileChanges: back.changes };
      return render(reply, 'circuit', model, { typed: back.typed, issues: written.issues });
    }
    if (!written.ok) return refuse(written.issues);
    const seq = written.value[0]?.seq ?? 0;
    if (!hasBegun(at))
      return goTo(reply, jobPath(at.number, 'sheet'), 'The circuit is set: this is its sheet.');
    return goTo(reply, jobPath(at.number, 'changes', seq), 'The circuit is changed.');
  };

  app.get<{ Params: { job: string; entry: string } }>('/jobs/:job/changes/:entry', async (request, reply) => {
    const at = jobAt(services, request);
    const seq = Number(request.params.entry);
    if (!at.log.entries.some((e) => e.seq === seq))
      throw new AppError('not-found', 'There is no such entry.');
    return render(reply, 'changes', {
      title: 'What this opens again',
      back: jobPath(at.number),
      next: nextModel(at),
      backTo: 'job',
      ...reopenedBy(at, seq),
    });
  });
}

/** A form that came after another's change: what it left alone follows the other's, and what it would still change is said. */
function merged(
  log: JobLog,
  seen: number,
  typed: FlatTyped,
  units: UnitSystem,
): { typed: FlatTyped; changes: string[] } {
  const [opened, now] = [circuitAt(log, seen), log.circuit];
  if (now === undefined) return { typed, changes: [] };
  const shown = (circuit: Circuit | undefined) =>
    circuit === undefined ? firstTyped(units) : typedFromCircuit(circuit, units);
  const back = withTheirChanges(typed, shown(opened), shown(now));
  const circuit = circuitFromTyped(back, { circuit: now, units });
  const changes = circuit.ok
    ? changedParts(now, circuit.value).map((c) => `${c.label}: ${c.from} → ${c.to}`)
    : ['The two together make no whole circuit: look it through before you send it.'];
  return { typed: back, changes };
}

function hasBegun({ log }: JobAt): boolean {
  return log.steps.size > 0 || log.readings.size > 0;
}

function circuitModel(at: JobAt, typed: FlatTyped, units: UnitSystem) {
  const before = at.log.circuit;
  return {
    title: before === undefined ? 'Describe the circuit' : 'Change the circuit',
    backTo: 'job',
    action: jobPath(at.number, 'circuit'),
    begun: hasBegun(at),
    wide: true,
    labels: labelsOf(typed),
    sections: sectionsBefore.map((s) => ({ ...s, fields: s.fields.map((f) => fieldModel(f, units)) })),
    outlets: Array.from({ length: countOf(typed, 'run') }, (_, k) => outletModel(typed, k, units)),
    sources: Array.from({ length: countOf(typed, 'otherSources') }, (_, s) => ({
      index: s,
      fields: sourceFields(s).map((f) => fieldModel(f, units)),
    })),
    sets: Array.from({ length: countOf(typed, 'together') }, (_, s) => ({
      index: s,
      members: loadsOf(typed).map((l) => ({
        name: `together.${s}.with.${l.outlet}.${l.index}`,
        label: `${l.name || `load ${l.index + 1}, unnamed`}, ${l.place || `outlet ${l.number}`}`,
      })),
    })),
    hasLoads: loadsOf(typed).length > 0,
  };
}

function outletModel(typed: FlatTyped, k: number, units: UnitSystem) {
  const count = countOf(typed, 'run');
  return {
    index: k,
    number: k + 1,
    id: typed[`run.${k}.id`] ?? '',
    fields: outletFields(k).map((f) => fieldModel(f, units)),
    first: k === 0,
    last: k === count - 1,
    only: count === 1,
    loads: Array.from({ length: countOf(typed, `run.${k}.loads`) }, (_, i) => ({
      index: i,
      at: `run.${k}.loads.${i}`,
      ticks: loadTicks(k, i).map((f) => fieldModel(f, units)),
    })),
  };
}
