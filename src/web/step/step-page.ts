import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { Issue } from '../../errors.js';
import type { StepStanding } from '../../steps/assessment.js';
import { askerOf, notCalledFor, type WorkAt, workAt, writeEntry } from '../job/job-at.js';
import { pausedNotice } from '../job/paused.js';
import { concessionOf, writeReason } from '../job/reason.js';
import { inAddress, one, type Typed, typedOf } from '../page/form.js';
import { renderKept } from '../page/kept-page.js';
import { goTo, render, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { sayOnce } from '../session/said-once.js';
import { jobPath } from '../words/job-words.js';
import { chosenInstrument } from './chosen-instrument.js';
import { answersFrom, askField, photosOfStep, stepDone } from './step-form.js';
import { afterStep } from './step-landing.js';
import { stepModel } from './step-model.js';
import { asOtherOutlet, filledFrom } from './step-offers.js';
import { keepPhotos, photoField } from './step-photos.js';
import { askingFor } from './usual-instrument.js';

type StepParams = { Params: { job: string; step: string } };

/** `/jobs/:job/steps/:step`: one step, from what bars it to what is written down, and its photos. */
export function registerStepPage(app: FastifyInstance, services: Services): void {
  const refuse = (reply: FastifyReply, here: StepAt, issues: readonly Issue[]) =>
    renderIssues(reply, 'step', pageOf(services, reply.request, here), issues);

  app.get<StepParams>('/jobs/:job/steps/:step', async (request, reply) => {
    const here = stepAt(services, request);
    return renderKept(reply, services, here.at.log, 'step', () => pageOf(services, request, here));
  });

  app.post<StepParams & { Querystring: { fill?: string } }>(
    '/jobs/:job/steps/:step',
    async (request, reply) => {
      const before = stepAt(services, request);
      if ((request.uploads ?? []).length > 0) {
        const issues = await keepPhotos(request, services, before.at.number, before.standing.step);
        if (issues.length > 0) return refuse(reply, before, issues);
      }
      const here = stepAt(services, request);
      const filled = request.query.fill === undefined ? undefined : filledIn(request, here);
      if (filled !== undefined) {
        sayOnce(
          request,
          `Filled in below from ${filled.from}, where it was empty. Nothing is written down yet: look, change what differs here, then write it down.`,
        );
        return render(reply, 'step', pageOf(services, request, here, filled.filled), { typed: filled.typed });
      }
      const written = await writeStep(request, services, here);
      if (!written.ok) return refuse(reply, here, written.issues);
      const after = stepAt(services, request);
      const { entries, answers } = written.value;
      const { path, said, link } = afterStep(after.at, after.standing, entries, answers);
      return goTo(reply, path, said, link);
    },
  );

  app.post<StepParams>('/jobs/:job/steps/:step/photos', async (request, reply) => {
    const here = stepAt(services, request);
    const { number } = here.at;
    const { step } = here.standing;
    const typed = typedOf(request);
    const ask = step.asks.find((a) => a.kind === 'photo' && a.id === one(typed, 'ask'));
    if (ask === undefined)
      return refuse(reply, here, [{ field: '', message: 'This step asks for no such photo.' }]);
    const field = photoField(ask.id);
    if ((request.uploads ?? []).length === 0)
      return refuse(reply, here, [{ field, message: 'choose or take a photo first' }]);
    const issues = await keepPhotos(request, services, number, step, ask);
    if (issues.length > 0) return refuse(reply, here, issues);
    const said = 'The photo is kept; where it was taken is not.';
    if (!hasAnswers(typed)) return goTo(reply, `${jobPath(number, 'steps', step.id)}#photos`, said);
    sayOnce(request, `${said} What you typed is still below, not written down yet.`);
    return render(reply, 'step', pageOf(services, request, stepAt(services, request)), { typed });
  });

  app.post<StepParams>('/jobs/:job/steps/:step/reopening', async (request, reply) => {
    const here = stepAt(services, request);
    const { id } = here.standing.step;
    const issues = await writeReason(request, services, {
      job: here.at.number,
      field: 'reason',
      ask: 'say why it is opened again',
      entry: (reason) => ({ kind: 'step reopened', subject: `step:${id}`, body: { reason } }),
    });
    if (issues.length > 0) return refuse(reply, here, issues);
    return goTo(reply, jobPath(here.at.number, 'steps', id), 'The step is open again.');
  });

  app.post<StepParams>('/jobs/:job/steps/:step/concession', async (request, reply) => {
    const here = stepAt(services, request);
    const { id } = here.standing.step;
    const issues = await writeReason(request, services, concessionOf(here.at.number, `step:${id}`));
    if (issues.length > 0) return refuse(reply, here, issues);
    return goTo(reply, jobPath(here.at.number, 'steps', id), 'The concession is in the logbook.');
  });
}

/** A step, and the job as it stands around it. */
interface StepAt {
  readonly at: WorkAt;
  readonly standing: StepStanding;
}

/** The page's model; `filled` are the fields that were filled in from another outlet. */
function pageOf(
  services: Services,
  request: FastifyRequest,
  { at, standing }: StepAt,
  filled?: readonly string[],
) {
  return {
    paused: pausedNotice(at, standing, services.clock()),
    ...stepModel(
      at,
      standing,
      services.store.shop.state(),
      askerOf(request, services),
      askingFor(request, services, at.log),
      filled,
    ),
  };
}

/** What was typed, filled in from the same step at another outlet; undefined where none was done. */
function filledIn(request: FastifyRequest, { at, standing }: StepAt) {
  const other = asOtherOutlet(at.number, at.job, standing.step, at.zone);
  return other === undefined ? undefined : { from: other.said, ...filledFrom(other, typedOf(request)) };
}

/** Reads the answers, with the tool they were measured with, and writes the step down. */
async function writeStep(request: FastifyRequest, services: Services, { at, standing }: StepAt) {
  const { step } = standing;
  const instrument = chosenInstrument(request, services);
  if (!instrument.ok) return instrument;
  const read = answersFrom(step.asks, typedOf(request), photosOfStep(at.log, step.id), instrument.value?.id);
  if (read.issues.length > 0) return { ok: false as const, issues: read.issues };
  const written = await writeEntry(request, services, at.number, {
    kind: 'step done',
    subject: `step:${step.id}`,
    body: stepDone(read.answers, instrument.value),
  });
  return written.ok
    ? { ok: true as const, value: { entries: written.value, answers: read.answers } }
    : { ok: false as const, issues: written.issues.map((i) => atAsk(i, standing)) };
}

function stepAt(services: Services, request: FastifyRequest): StepAt {
  const at = workAt(services, request);
  const step = inAddress(request, 'step');
  const standing = at.job.steps.get(step);
  if (standing === undefined) throw notCalledFor(at, 'step', step);
  return { at, standing };
}

/** Whether anything was typed or ticked beside a photo; a unit that stands chosen is nothing typed. */
function hasAnswers(typed: Typed): boolean {
  return Object.entries(typed).some(
    ([name, value]) => name.startsWith(askField('')) && !name.endsWith('.unit') && value !== '',
  );
}

/** The rules name an ask by its id, the instrument, or the step itself: the page has fields for the first two and a sentence for the third. */
function atAsk(issue: Issue, { step }: StepStanding): Issue {
  if (issue.field === 'instrument') return issue;
  return step.asks.some((a) => a.id === issue.field)
    ? { ...issue, field: askField(issue.field) }
    : { ...issue, field: '' };
}
