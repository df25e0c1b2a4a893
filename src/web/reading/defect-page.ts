import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError, type Issue } from '../../errors.js';
import { entryBodies } from '../../logbook/entry.js';
import type { DefectStanding } from '../../steps/assessment.js';
import { type WorkAt, workAt, writeEntries, writeEntry } from '../job/job-at.js';
import { reopenedBy } from '../job/reopened.js';
import { inAddress, many, one, read, type Typed, typedOf } from '../page/form.js';
import { goTo, render, renderIssues } from '../page/page.js';
import type { Services } from '../services.js';
import { disturbanceWords } from '../words/entry-words.js';
import { jobPath } from '../words/job-words.js';
import { defectModel, defectsModel, disturbanceField, openTogether, ownPage } from './defect-model.js';

type Disturbs = { what: string; outlet?: string }[];

/** `/jobs/:job/defects`: all that was found wrong, a defect raised by hand, and each defect with its mend. */
export function registerDefectPages(app: FastifyInstance, services: Services): void {
  app.get<{ Querystring: { about?: string } }>('/jobs/:job/defects', async (request, reply) =>
    render(reply, 'defects', defectsModel(workAt(services, request), request.query.about)),
  );

  app.post('/jobs/:job/defects', async (request, reply) => {
    const at = workAt(services, request);
    const typed = typedOf(request);
    const about = one(typed, 'about');
    const refuse = (issues: readonly Issue[]) =>
      renderIssues(reply, 'defects', defectsModel(at, about), issues);
    const nowhere = about === '' ? [{ field: 'about', message: 'choose where it is' }] : [];
    const body = read(entryBodies['defect raised'], { what: one(typed, 'what') });
    if (!body.ok) return refuse([...nowhere, ...body.issues]);
    if (nowhere.length > 0) return refuse(nowhere);
    const written = await writeEntry(request, services, at.number, {
      kind: 'defect raised',
      subject: about,
      body: body.value,
    });
    if (!written.ok)
      return refuse(written.issues.map((i) => ({ ...i, field: i.field === 'subject' ? 'about' : '' })));
    return goTo(
      reply,
      jobPath(at.number, 'defects', written.value[0]?.seq ?? 0),
      'The defect is in the logbook.',
    );
  });

  app.get('/jobs/:job/defects/:entry', async (request, reply) => {
    const { at, seq } = defectAt(services, request);
    return render(reply, 'defect', defectModel(at, seq));
  });

  app.post('/jobs/:job/defects/:entry/rework', async (request, reply) => {
    const { at, seq } = defectAt(services, request);
    const typed = typedOf(request);
    const defect = at.job.defects.find((d) => d.defect.seq === seq) as DefectStanding;
    const refuse = (issues: readonly Issue[]) => refuseRework(reply, at, seq, issues);
    const body = read(entryBodies['defect reworked'], {
      defect: seq,
      found: one(typed, 'found'),
      done: one(typed, 'done'),
      disturbs: disturbedFrom(typed, at),
    });
    const answered = answeredBy(typed, at, defect);
    const none = answered.length > 0 ? [] : [{ field: 'together', message: 'tick what this mend answers' }];
    if (!body.ok) return refuse([...none, ...body.issues]);
    if (none.length > 0) return refuse(none);
    const written = await writeEntries(
      request,
      services,
      at.number,
      answered.map((one) => ({
        kind: 'defect reworked',
        subject: defect.defect.subject,
        body: { ...body.value, defect: one },
      })),
    );
    if (!written.ok) return refuse(written.issues);
    return afterMend(reply, defectAt(services, request).at, defect, written.value[0]?.seq ?? 0);
  });
}

/** The defects that a mend answers: those of its step that were ticked, or the one of the page where none stand beside it. */
function answeredBy(typed: Typed, { job }: WorkAt, defect: DefectStanding): number[] {
  const beside = openTogether(job, defect).map((d) => d.defect.seq);
  if (beside.length < 2) return [defect.defect.seq];
  return beside.filter((seq) => many(typed, 'together').includes(String(seq)));
}

/** On to what the mend opens again; where that is nothing but what failed, straight to it. */
function afterMend(reply: FastifyReply, at: WorkAt, { defect }: DefectStanding, rework: number) {
  const { steps, readings } = reopenedBy(at, rework);
  const own = ownPage(at.number, at.job, defect.subject);
  const others = [...steps, ...readings].filter((opened) => opened.href !== own);
  if (own !== undefined && others.length === 0)
    return goTo(reply, own, 'The mend is in the logbook. It counts when this has been tested again.');
  return goTo(reply, jobPath(at.number, 'changes', rework), 'The mend is in the logbook.');
}

function defectAt(services: Services, request: FastifyRequest): { at: WorkAt; seq: number } {
  const at = workAt(services, request);
  const seq = Number(inAddress(request, 'entry'));
  if (!at.job.defects.some((d) => d.defect.seq === seq))
    throw new AppError('not-found', 'There is no such defect.');
  return { at, seq };
}

/** One thing for each tick; where a conductor was landed again, one for each outlet that was ticked with it. */
function disturbedFrom(typed: Typed, { job }: WorkAt): Disturbs {
  const ticked = many(typed, 'disturbs').filter((what) => what in disturbanceWords);
  const outlets = many(typed, disturbanceField).filter((id) => job.circuit.run.some((o) => o.id === id));
  return ticked.flatMap((what): Disturbs => {
    if (what !== 'conductor-relanded' || outlets.length === 0) return [{ what }];
    return outlets.map((outlet) => ({ what, outlet }));
  });
}

function refuseRework(reply: FastifyReply, at: WorkAt, seq: number, issues: readonly Issue[]) {
  const known = new Set(['together', 'found', 'done', 'disturbs']);
  const fields = issues.map((i) => ({
    ...i,
    field: known.has(i.field) ? i.field : i.field.startsWith('disturbs') ? 'disturbs' : '',
  }));
  return renderIssues(reply, 'defect', defectModel(at, seq), fields);
}
