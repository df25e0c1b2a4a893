import type { FastifyInstance, FastifyReply } from 'fastify';
import { AppError, type Issue } from '../errors.js';
import { accept } from '../steps/accept.js';
import { keyOf, one, typedOf } from './form.js';
import { requirePerson } from './guard.js';
import { issueJob } from './issue-job.js';
import { askerOf, type JobAt, workAt } from './job-at.js';
import { jobPath } from './job-words.js';
import { refuseUnseen } from './meanwhile.js';
import { authorOf, contentOf, goTo, render, renderIssues } from './page.js';
import type { PassphraseAgain } from './passphrase-again.js';
import { writeReason } from './reason.js';
import { recordModel } from './record-model.js';
import type { Services } from './services.js';
import { signatureFrom } from './signature-form.js';

type Work = JobAt & { job: NonNullable<JobAt['job']> };

/** `/jobs/:job/record`: what bars the issue, the review and the issue itself, and every revision issued. */
export function registerRecordPage(
  app: FastifyInstance,
  services: Services,
  passphraseAgain: PassphraseAgain,
): void {
  const { store } = services;
  const refuse = (reply: FastifyReply, at: Work, issues: readonly Issue[]) =>
    renderIssues(reply, 'record', recordModel(at, services, reply.request), issues);

  app.get('/jobs/:job/record', async (request, reply) =>
    render(reply, 'record', recordModel(workAt(services, request), services, request)),
  );

  app.post('/jobs/:job/record', async (request, reply) => {
    const at = workAt(services, request);
    const { number, log } = at;
    const sent = log.issued.find((e) => e.key === keyOf(request) && e.by.id === requirePerson(request).id);
    if (sent !== undefined)
      return goTo(reply, jobPath(number, 'record'), `Revision ${sent.body.revision} is issued.`);
    const asker = askerOf(request, services);
    if (!asker.by.roles.includes('fitter') && !asker.by.roles.includes('keeper'))
      throw new AppError('not-allowed', 'A record is issued by a fitter or a keeper.');
    const unseen = refuseUnseen(request, log, [{ kind: 'record issued', subject: 'job' }]);
    if (unseen !== undefined) return refuse(reply, at, unseen.issues);
    const signature = signatureFrom(typedOf(request), 'signature', requirePerson(request));
    const reason = log.issued.length === 0 ? undefined : one(typedOf(request), 'changed').trim();
    const missing = [
      ...(signature.ok ? [] : signature.issues),
      ...(reason === '' ? [{ field: 'changed', message: 'say why there is a further revision' }] : []),
      ...((reason?.length ?? 0) > 500 ? [{ field: 'changed', message: 'takes at most 500 characters' }] : []),
    ];
    if (!signature.ok || missing.length > 0) return refuse(reply, at, missing);
    const wrong = await passphraseAgain(request);
    if (wrong !== undefined) return refuse(reply, at, [wrong]);
    if (at.job.barsIssue.length > 0)
      return refuse(
        reply,
        at,
        at.job.barsIssue.map((message) => ({ field: '', message })),
      );
    const issued = await issueJob(services, at, {
      by: asker.by.name,
      signature: signature.value,
      reason,
    });
    const entry = { kind: 'record issued', subject: 'job', body: issued.body } as const;
    const written = store.logbook.append({
      job: number,
      key: keyOf(request),
      by: authorOf(request),
      content: contentOf(request),
      decide: (now) => refuseUnseen(request, now, [entry]) ?? accept(now, entry, asker),
      attach: {
        records: [
          { job: number, revision: issued.body.revision, sha256: issued.body.sha256, pdf: issued.pdf },
        ],
      },
    });
    if (!written.ok)
      return refuse(
        reply,
        at,
        written.issues.map((i) => ({ ...i, field: '' })),
      );
    const said = `Revision ${issued.body.revision} is issued and signed. ${issued.timestamp}`;
    return goTo(reply, jobPath(number, 'record'), said.trim());
  });

  app.get<{ Params: { revision: string } }>('/jobs/:job/record/:revision', async (request, reply) => {
    const { number } = workAt(services, request);
    return sendRecord(reply, services, number, Number(request.params.revision));
  });

  app.post<{ Params: { revision: string } }>(
    '/jobs/:job/record/:revision/withdrawal',
    async (request, reply) => {
      const at = workAt(services, request);
      const revision = Number(request.params.revision);
      if (!at.log.issued.some((e) => e.body.revision === revision))
        throw new AppError('not-found', 'No such revision was issued.');
      const issues = writeReason(request, services, {
        job: at.number,
        field: `reason.${revision}`,
        ask: 'say why it is withdrawn',
        entry: (reason) => ({ kind: 'record withdrawn', subject: 'job', body: { revision, reason } }),
      });
      if (issues.length > 0) return refuse(reply, at, issues);
      return goTo(reply, jobPath(at.number, 'record'), `Revision ${revision} is withdrawn.`);
    },
  );
}

/** Sends an issued record as it was signed. Throws `not-found` where there is none. */
export function sendRecord(
  reply: FastifyReply,
  { store }: Services,
  number: string,
  revision: number,
): FastifyReply {
  const record = Number.isInteger(revision) ? store.records.get(number, revision) : undefined;
  if (record === undefined) throw new AppError('not-found', 'No such revision was issued.');
  return reply
    .type('application/pdf')
    .header('content-disposition', `attachment; filename="inlet-record-${number}-r${revision}.pdf"`)
    .header('cache-control', 'no-store')
    .send(record.pdf);
}
