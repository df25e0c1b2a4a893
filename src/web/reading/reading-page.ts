import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { Issue } from '../../errors.js';
import type { Instrument } from '../../logbook/fold-shop.js';
import { snapshotOf } from '../../logbook/instrument-snapshot.js';
import type { ReadingStanding } from '../../steps/assessment.js';
import { askerOf, notCalledFor, type WorkAt, workAt, writeInTurn } from '../job/job-at.js';
import { pausedNotice } from '../job/paused.js';
import { concessionOf, writeReason } from '../job/reason.js';
import { inAddress, one, overLong, typedOf } from '../page/form.js';
import { renderKept } from '../page/kept-page.js';
import { goTo, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { chosenInstrument } from '../step/chosen-instrument.js';
import { askingFor, instrumentOptions } from '../step/usual-instrument.js';
import { jobPath } from '../words/job-words.js';
import { beyondInstrument, shownFrom, slipFrom } from './reading-form.js';
import { afterReading } from './reading-landing.js';
import { readingModel } from './reading-model.js';

/** `/jobs/:job/readings/:reading`: one reading, its expected value before the probe touches, its verdict at once. */
export function registerReadingPage(app: FastifyInstance, services: Services): void {
  const model = (request: FastifyRequest, at: WorkAt, standing: ReadingStanding) => {
    const { instruments, units } = services.store.shop.state();
    const { step, instrument } = standing.planned;
    const canShow = (i: Instrument) => instrument !== undefined && i[instrument] !== undefined;
    return {
      paused: pausedNotice(at, at.job.steps.get(step), services.clock()),
      ...readingModel(at, standing, {
        instruments: instrumentOptions(instruments, canShow, askingFor(request, services, at.log)),
        asker: askerOf(request, services),
        units,
      }),
    };
  };
  const refuse = (reply: FastifyReply, at: WorkAt, standing: ReadingStanding, issues: readonly Issue[]) =>
    renderIssues(reply, 'reading', model(reply.request, at, standing), issues);

  app.get('/jobs/:job/readings/:reading', async (request, reply) => {
    const { at, standing } = readingAt(services, request);
    return renderKept(reply, services, at.log, 'reading', () => model(request, at, standing));
  });

  app.post('/jobs/:job/readings/:reading', async (request, reply) => {
    const { at, standing } = readingAt(services, request);
    const { planned } = standing;
    const typed = typedOf(request);
    const shown = shownFrom(planned, typed);
    const chosen = chosenInstrument(request, services);
    const instrument = chosen.ok ? chosen.value : undefined;
    const issues: Issue[] = shown.ok ? beyondInstrument(shown.value, instrument) : [...shown.issues];
    if (!chosen.ok) issues.push(...chosen.issues);
    const note = one(typed, 'note').trim();
    issues.push(...overLong('note', note));
    if (!shown.ok || issues.length > 0) return refuse(reply, at, standing, issues);
    const subject = `reading:${planned.id}`;
    const slip = slipFrom(typed);
    const struck = slip && { reading: Number(one(typed, 'entry')), reason: slip };
    const written = await writeInTurn(request, services, at.number, [
      ...(struck ? [{ kind: 'reading struck', subject, body: struck } as const] : []),
      {
        kind: 'reading taken',
        subject,
        body: {
          shown: shown.value,
          note,
          ...(instrument === undefined || planned.test === 'observation'
            ? {}
            : { instrument: snapshotOf(instrument) }),
        },
      },
    ]);
    if (!written.ok)
      return refuse(
        reply,
        at,
        standing,
        written.issues.map((i) => atField(i, planned.test)),
      );
    const after = readingAt(services, request);
    const { path, said, link } = afterReading(after.at, after.standing, at.job);
    return goTo(reply, path, said, link);
  });

  app.post('/jobs/:job/readings/:reading/strike', async (request, reply) => {
    const { at, standing } = readingAt(services, request);
    const { id } = standing.planned;
    const reading = Number(one(typedOf(request), 'entry'));
    if (!Number.isInteger(reading) || reading < 1)
      return refuse(reply, at, standing, [{ field: 'reason', message: 'name the reading that is struck' }]);
    const issues = await writeReason(request, services, {
      job: at.number,
      field: 'reason',
      ask: 'say what the slip was',
      entry: (reason) => ({ kind: 'reading struck', subject: `reading:${id}`, body: { reading, reason } }),
    });
    if (issues.length > 0) return refuse(reply, at, standing, issues);
    const said = 'Struck. It stays in the logbook and no longer counts.';
    return goTo(reply, jobPath(at.number, 'readings', id), said);
  });

  app.post('/jobs/:job/readings/:reading/concession', async (request, reply) => {
    const { at, standing } = readingAt(services, request);
    const { id } = standing.planned;
    const issues = await writeReason(request, services, concessionOf(at.number, `reading:${id}`));
    if (issues.length > 0) return refuse(reply, at, standing, issues);
    return goTo(reply, jobPath(at.number, 'readings', id), 'The concession is in the logbook.');
  });
}

function readingAt(services: Services, request: FastifyRequest): { at: WorkAt; standing: ReadingStanding } {
  const at = workAt(services, request);
  const reading = inAddress(request, 'reading');
  const standing = at.job.readings.get(reading);
  if (standing === undefined) throw notCalledFor(at, 'reading', reading);
  return { at, standing };
}

const fieldOfTest = {
  resistance: 'ohms',
  voltage: 'volts',
  'loaded-voltage': 'volts',
  observation: 'answer',
} as const;

/** The rules speak of what was shown, of the instrument, or of the reading as a whole; the page has its own fields. */
function atField(issue: Issue, test: keyof typeof fieldOfTest): Issue {
  if (issue.field === 'instrument') return issue;
  return { ...issue, field: issue.field === 'shown' ? fieldOfTest[test] : '' };
}
