import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { Issue } from '../../errors.js';
import type { EntryOf } from '../../logbook/entry.js';
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
import { answersFrom, askField, stepDone } from './step-form.js';
import { afterStep } from './step-landing.js';
import { stepModel } from './step-model.js';
import { asOtherOutlet, filledFrom } from './step-offers.js';
import { keepPhotos, photoField } from './step-photos.js';
import { askingFor } from './usual-instrument.js';

type StepParams = { Params: { job: string; step: string } };

/** `/jobs/:job/steps/:step`: one step, from what bars it to what is written down, and its photos. */
export function registerStepPage(app: FastifyInstance, services: Services): void {
  const model = (
    request: FastifyRequest,
    at: WorkAt,
    standing: StepStanding,
    filled?: readonly string[],
  ) => ({
    paused: pausedNotice(at, standing, services.clock()),
    ...stepModel(
      at,
      standing,
      services.store.shop.state(),
      askerOf(request, services),
      askingFor(request, services, at.log),
      filled,
    ),
  });
  const refuse = (reply: FastifyReply, at: WorkAt, standing: StepStanding, issues: readonly Issue[]) =>
    renderIssues(reply, 'step', model(reply.request, at, standing), issues);

  app.get<StepParams>('/jobs/:job/steps/:step', async (request, reply) => {
    const { at, standing } = stepAt(services, request);
    return renderKept(reply, services, at.log, 'step', () => model(request, at, standing));
  });

  app.post<StepParams & { Querystring: { fill?: string } }>(
    '/jobs/:job/steps/:step',
    async (request, reply) => {
      const before = stepAt(services, request);
      const { step } = before.standing;
      const typed = typedOf(request);
      if ((request.uploads ?? []).length > 0) {
        const issues = await keepPhotos(request, services, before.at.number, step);
        if (issues.length > 0) return refuse(reply, before.at, before.standing, issues);
      }
      const { at, standing } = stepAt(services, request);
      const other =
        request.query.fill === undefined ? undefined : asOtherOutlet(at.number, at.job, step, at.zone);
      if (other !== undefined) {
        const back = filledFrom(other, typed);
        sayOnce(
          request,
          `Filled in below from ${other.said}, where it was empty. Nothing is written down yet: look, change what differs here, then write it down.`,
        );
        return render(reply, 'step', model(request, at, standing, back.filled), { typed: back.typed });
      }
      const instrument = chosenInstrument(request, services);
      if (!instrument.ok) return refuse(reply, at, standing, instrument.issues);
      const read = answersFrom(step.asks, typed, photosOfStep(at, step.id), instrument.value?.id);
      if (read.issues.length > 0) return refuse(reply, at, standing, read.issues);
      const written = await writeEntry(request, services, at.number, {
        kind: 'step done',
        subject: `step:${step.id}`,
        body: stepDone(read.answers, instrument.value),
      });
      if (!written.ok)
        return refuse(
          reply,
          at,
          standing,
          written.issues.map((i) => atAsk(i, standing)),
        );
      const after = stepAt(services, request);
      const { path, said, link } = afterStep(after.at, after.standing, written.value, read.answers);
      return goTo(reply, path, said, link);
    },
  );

  app.post<StepParams>('/jobs/:job/steps/:step/photos', async (request, reply) => {
    const { at, standing } = stepAt(services, request);
    const typed = typedOf(request);
    const ask = standing.step.asks.find((a) => a.kind === 'photo' && a.id === one(typed, 'ask'));
    if (ask === undefined)
      return refuse(reply, at, standing, [{ field: '', message: 'This step asks for no such photo.' }]);
    const field = photoField(ask.id);
    if ((request.uploads ?? []).length === 0)
      return refuse(reply, at, standing, [{ field, message: 'choose or take a photo first' }]);
    const issues = await keepPhotos(request, services, at.number, standing.step, ask);
    if (issues.length > 0) return refuse(reply, at, standing, issues);
    const said = 'The photo is kept; where it was taken is not.';
    if (!hasAnswers(typed))
      return goTo(reply, `${jobPath(at.number, 'steps', standing.step.id)}#photos`, said);
    sayOnce(request, `${said} What you typed is still below, not written down yet.`);
    const after = stepAt(services, request);
    return render(reply, 'step', model(request, after.at, after.standing), { typed });
  });

  app.post<StepParams>('/jobs/:job/steps/:step/reopening', async (request, reply) => {
    const { at, standing } = stepAt(services, request);
    const subject = `step:${standing.step.id}`;
    const issues = await writeReason(request, services, {
      job: at.number,
      field: 'reason',
      ask: 'say why it is opened again',
      entry: (reason) => ({ kind: 'step reopened', subject, body: { reason } }),
    });
    if (issues.length > 0) return refuse(reply, at, standing, issues);
    return goTo(reply, jobPath(at.number, 'steps', standing.step.id), 'The step is open again.');
  });

  app.post<StepParams>('/jobs/:job/steps/:step/concession', async (request, reply) => {
    const { at, standing } = stepAt(services, request);
    const { id } = standing.step;
    const issues = await writeReason(request, services, concessionOf(at.number, `step:${id}`));
    if (issues.length > 0) return refuse(reply, at, standing, issues);
    return goTo(reply, jobPath(at.number, 'steps', id), 'The concession is in the logbook.');
  });
}

function stepAt(services: Services, request: FastifyRequest): { at: WorkAt; standing: StepStanding } {
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

function photosOfStep({ log }: WorkAt, step: string): readonly EntryOf<'photo added'>[] {
  return log.photos.filter((p) => p.subject === `step:${step}`);
}

/** The rules name an ask by its id, the instrument, or the step itself: the page has fields for the first two and a sentence for the third. */
function atAsk(issue: Issue, { step }: StepStanding): Issue {
  if (issue.field === 'instrument') return issue;
  return step.asks.some((a) => a.id === issue.field)
    ? { ...issue, field: askField(issue.field) }
    : { ...issue, field: '' };
}
