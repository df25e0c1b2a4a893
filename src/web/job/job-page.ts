import type { FastifyInstance } from 'fastify';
import { placeWords } from '../../circuit/place-words.js';
import { capital } from '../../circuit/quantity-text.js';
import type { UnitSystem } from '../../circuit/units.js';
import { type Place, parsePlace } from '../../drawing/place.js';
import { AppError } from '../../errors.js';
import type { NewEntry } from '../../logbook/entry.js';
import { type Assessment, isBarred, type StepStanding } from '../../steps/assessment.js';
import { inQuestion } from '../../steps/since-record.js';
import { issueStepId } from '../../steps/step.js';
import { seenBelow } from '../../steps/subject-words.js';
import { renderKept } from '../page/kept-page.js';
import { goTo, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { apartText, jobPath, sinceLine, standingOf } from '../words/job-words.js';
import { type JobAt, jobAt, type WorkAt, workAt } from './job-at.js';
import { drawJob, partLines } from './job-drawing.js';
import { leftModel, nextModel } from './job-next-model.js';
import { writeReason } from './reason.js';

/** `/jobs/:job`: the drawing as progress, the one next thing, the stages with their steps, what is broken, what is held. */
export function registerJobPage(app: FastifyInstance, services: Services): void {
  const units = () => services.store.shop.state().units;

  app.get('/jobs/:job', async (request, reply) => {
    const at = jobAt(services, request);
    return renderKept(reply, services, at.log, 'job', () => jobModel(at, units()));
  });

  app.get<{ Params: { job: string; part: string } }>('/jobs/:job/parts/:part', async (request, reply) => {
    const at = workAt(services, request);
    const place = parsePlace(request.params.part, at.job.circuit);
    if (place === undefined) throw new AppError('not-found', 'This circuit has no such part.');
    return renderKept(reply, services, at.log, 'part', () => partModel(at, place, units()));
  });

  for (const [kind, verb, said] of standings) {
    app.post(`/jobs/:job/${verb}`, async (request, reply) => {
      const at = jobAt(services, request);
      const issues = await writeReason(request, services, {
        job: at.number,
        field: 'reason',
        ask: 'say why',
        entry: (reason): NewEntry => ({ kind, subject: 'job', body: { reason } }),
      });
      if (issues.length > 0) return renderIssues(reply, 'job', jobModel(at, units()), issues);
      return goTo(reply, jobPath(at.number), `The job is ${said}.`);
    });
  }
}

const standings = [
  ['job set aside', 'rest', 'set aside'],
  ['job closed', 'closure', 'closed'],
  ['job taken up', 'resumption', 'open again'],
] as const;

function jobModel(at: JobAt, units: UnitSystem) {
  const { number, log, job } = at;
  const { described } = log;
  return {
    title: `Job ${number}`,
    labels: { reason: 'Why' },
    heading: described?.vehicle.description ?? `Job ${number}`,
    wide: true,
    backTo: { href: '/', label: 'Jobs' },
    number,
    standing: log.standing,
    apart: apartText(log, at.zone),
    inQuestion: inQuestion(log).map((since) => sinceLine(since, at.zone)),
    facts: [
      { term: 'Job', value: number },
      { term: 'Owner', value: described?.owner ?? '' },
      { term: 'Place', value: described?.place ?? '' },
      { term: 'Fitter', value: described?.fitter ?? '' },
      { term: 'Checker', value: described?.checker || 'none: the fitter works alone' },
      ...(described?.vehicle.plate ? [{ term: 'Plate', value: described.vehicle.plate }] : []),
      ...(described?.vehicle.vin ? [{ term: 'VIN', value: described.vehicle.vin }] : []),
      ...(described?.vehicle.invented ? [{ term: 'Data', value: 'invented, for practice' }] : []),
    ],
    next: nextModel(at),
    left: job && log.standing === 'open' ? leftModel(job) : undefined,
    drawing: job && drawJob(number, job, units),
    parts: job && partLines(number, job),
    stages: job?.stages.map((stage) => ({
      title: stage.title,
      open: stage.id === job.stage && !stage.done,
      summary: stageSummary(stage.steps),
      steps: stage.steps.map((s) => stepLine(number, s, job)),
    })),
    defects: job && defectLines(number, job),
    holds: job?.holds.map((h) => ({
      number: job.steps.get(h.step)?.step.number ?? '',
      text: h.text,
      href: stepHref(number, job, h.step),
    })),
    pages: pagesOf(number, job),
  };
}

/** A stage in words: "done", "3 of 6 steps left", "waits". */
function stageSummary(steps: readonly StepStanding[]): string {
  const due = steps.filter((s) => s.step.conditional === undefined);
  const left = due.filter((s) => s.status !== 'done');
  if (left.length === 0) return 'done';
  const again = left.filter((s) => s.reopened.length > 0).length;
  const opened = again === 0 ? '' : `, ${again} open again`;
  if (left.every(isBarred)) return waitsFor(left[0]?.because[0]);
  return `${left.length} ${left.length === 1 ? 'step' : 'steps'} to do${opened}`;
}

/** "waits for S1": the step's own page says the hold in full. */
function waitsFor(first: StepStanding['because'][number] | undefined): string {
  return first?.step.hold === undefined ? `waits: ${first?.text ?? ''}` : `waits for ${first.step.number}`;
}

/** A step as a line of a list: its number, title and standing word. */
function stepLine(number: string, s: StepStanding, job: Assessment) {
  return {
    number: s.step.number,
    title: s.step.title,
    href: stepHref(number, job, s.step.id),
    ...standingOf(s, job.next?.step.id === s.step.id),
    why: s.reopened[0] ?? '',
  };
}

function stepHref(number: string, job: Assessment, id: string): string {
  if (id === issueStepId) return jobPath(number, 'record');
  const step = job.steps.get(id)?.step;
  return step?.sheetLines !== undefined && step.asks.length === 0
    ? jobPath(number, 'sheet')
    : jobPath(number, 'steps', id);
}

/** Defects that are not closed, the open ones first. */
function defectLines(number: string, job: Assessment) {
  return job.defects
    .filter((d) => d.status !== 'closed')
    .map((d) => ({
      title: d.title,
      what: seenBelow(d.title, d.defect.body.what),
      status: d.status,
      look: d.status === 'open' ? 'fail' : 'open',
      href: jobPath(number, 'defects', d.defect.seq),
    }));
}

function pagesOf(number: string, job: Assessment | undefined) {
  const list = [
    ...(job
      ? ([
          ['sheet', 'The sheet', sheetSummary(job)],
          ['readings', 'Readings', 'expected, limit and shown'],
          ['defects', 'Defects', 'raised, mended, tested again'],
        ] as const)
      : []),
    ['circuit', 'The circuit', 'what is to be built'],
    ['logbook', 'The logbook', 'every entry, in order'],
    ...(job ? ([['record', 'The record', 'what bars it, the issued PDF, the owner’s link']] as const) : []),
  ] as const;
  return list.map(([path, label, what]) => ({ href: jobPath(number, path), label, what }));
}

/** What the job's page says of its sheet: how much of it holds the cutting, where anything does. */
function sheetSummary(job: Assessment): string {
  const missed = job.sheet.filter((line) => !line.met).length;
  if (missed === 0) return 'what is computed before cutting';
  return missed === 1 ? 'one line holds the cutting' : `${missed} lines hold the cutting`;
}

function partModel(at: WorkAt, place: Place, units: UnitSystem) {
  const { job, number } = at;
  const name = placeWords(job.circuit, place);
  return {
    title: capital(name),
    wide: true,
    backTo: 'job',
    drawing: drawJob(number, job, units, [place]),
    parts: partLines(number, job).filter((part) => part.href !== jobPath(number, 'parts', place)),
    raise: `${jobPath(number, 'defects')}?about=${encodeURIComponent(`place:${place}`)}#raise`,
    steps: [...job.steps.values()]
      .filter((s) => s.step.parts.includes(place))
      .map((s) => stepLine(number, s, job)),
    readings: [...job.readings.values()]
      .filter((r) => r.planned.parts.includes(place))
      .map((r) => ({
        code: r.planned.code,
        title: r.planned.title,
        verdict: r.verdict,
        required: r.planned.required,
        href: jobPath(number, 'readings', r.planned.id),
      })),
  };
}
