import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError, type ErrorCode, type Issue, type Result } from '../../errors.js';
import type { Entry, EntryOf } from '../../logbook/entry.js';
import type { JobLog } from '../../logbook/job-log.js';
import { accept } from '../../steps/accept.js';
import { mayWrite } from '../../steps/entry-kinds.js';
import type { IssueWish, JobIssue } from '../../store/issue-job.js';
import { askerOf, type WorkAt, workAt } from '../job/job-at.js';
import { writeReason } from '../job/reason.js';
import { inAddress, keyOf, one, overLong, typedOf } from '../page/form.js';
import { refuseUnseen, refuseWrittenAfter } from '../page/meanwhile.js';
import { authorOf, contentOf, goTo, render, renderIssues } from '../page/page.js';
import { signatureFrom } from '../page/signature-form.js';
import type { PassphraseAgain } from '../people/passphrase-again.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { jobPath } from '../words/job-words.js';
import { recordModel } from './record-model.js';

/** `/jobs/:job/record`: what bars the issue, the review and the issue itself, and every revision issued. */
export function registerRecordPage(
  app: FastifyInstance,
  services: Services,
  passphraseAgain: PassphraseAgain,
): void {
  const { store } = services;
  const refuse = (reply: FastifyReply, at: WorkAt, issues: readonly Issue[]) =>
    renderIssues(reply, 'record', recordModel(at, services, reply.request), issues);
  const issueOnce = issuingOnce(services);
  /** The page as the job stands by now, with all that was typed. */
  const comeBack = (reply: FastifyReply, status: number, issues: readonly { readonly message: string }[]) =>
    render(reply, 'record', recordModel(workAt(services, reply.request), services, reply.request), {
      status,
      issues: issues.map(({ message }) => ({ field: '', message })),
      typed: typedOf(reply.request),
    });

  app.get('/jobs/:job/record', async (request, reply) =>
    render(reply, 'record', recordModel(workAt(services, request), services, request)),
  );

  app.post('/jobs/:job/record', async (request, reply) => {
    const at = workAt(services, request);
    const page = jobPath(at.number, 'record');
    const sent = sentBefore(at.log, request);
    if (sent !== undefined) return goTo(reply, page, sent);
    const asker = askerOf(request, services);
    if (!mayWrite('record issued', asker.by.roles))
      throw new AppError('not-allowed', 'A record is issued by a fitter or a keeper.');
    const wish = await wishFrom(request, services, at, passphraseAgain);
    if (!wish.ok) return refuse(reply, at, wish.issues);
    const meanwhile = sentBefore(store.logbook.log(at.number), request);
    if (meanwhile !== undefined) return goTo(reply, page, meanwhile);
    const issued = await issueOnce(`${asker.by.id} ${keyOf(request)}`, wish.value);
    if (issued instanceof AppError) {
      request.log.warn({ code: issued.code, facts: issued.facts, err: issued.cause }, 'no record was issued');
      return comeBack(reply, issued.status, issued.issues.length > 0 ? issued.issues : [issued]);
    }
    const written = keepIssued(request, services, issued);
    if (!written.ok) return comeBack(reply, 422, written.issues);
    const { revision } = (written.value[0] as EntryOf<'record issued'>).body;
    return goTo(reply, page, `Revision ${revision} is issued and signed. ${issued.timestamp}`.trim());
  });

  app.get<{ Params: { revision: string } }>('/jobs/:job/record/:revision', async (request, reply) => {
    const { number } = workAt(services, request);
    return sendRecord(reply, services, number, revisionIn(request.params));
  });

  app.post<{ Params: { revision: string } }>(
    '/jobs/:job/record/:revision/withdrawal',
    async (request, reply) => {
      const at = workAt(services, request);
      const revision = revisionIn(request.params);
      if (!at.log.issued.some((e) => e.body.revision === revision))
        throw new AppError('not-found', 'No such revision was issued.');
      const issues = await writeReason(request, services, {
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

/** A revision by its one address: `01` or `1e0` is none. Throws `not-found`. */
function revisionIn({ revision }: { revision: string }): number {
  if (!/^[1-9]\d{0,5}$/.test(revision)) throw new AppError('not-found', 'No such revision was issued.');
  return Number(revision);
}

/** What is to be issued, or what is in its way: asked in the order in which its sender can do something about it. */
async function wishFrom(
  request: FastifyRequest,
  services: Services,
  { number, log, job }: WorkAt,
  passphraseAgain: PassphraseAgain,
): Promise<Result<IssueWish>> {
  const unseen = refuseUnseen(request, log, [{ kind: 'record issued', subject: 'job' }]);
  if (unseen !== undefined) return unseen;
  const signed = signedFrom(request, log);
  if (!signed.ok) return signed;
  const wrong = await passphraseAgain(request);
  if (wrong !== undefined) return { ok: false, issues: [wrong] };
  if (job.barsIssue.length > 0)
    return { ok: false, issues: job.barsIssue.map(({ text }) => ({ field: '', message: text })) };
  const revision = log.issued.length + 1;
  const at = services.clock().toISOString();
  return { ok: true, value: { job: number, revision, at, by: requirePerson(request).name, ...signed.value } };
}

/** Keeps the issued PDF with its entry, by who asks as they stand now, where nothing was written after the end of the logbook that it was drawn from. */
function keepIssued(
  request: FastifyRequest,
  services: Services,
  { body, pdf }: JobIssue,
): Result<readonly Entry[]> {
  const job = inAddress(request, 'job');
  const entry = { kind: 'record issued', subject: 'job', body } as const;
  return services.store.logbook.append({
    job,
    key: keyOf(request),
    by: authorOf(request),
    content: contentOf(request),
    decide: (now) =>
      refuseWrittenAfter(request, now, body.head) ?? accept(now, entry, askerOf(request, services)),
    attach: { records: [{ job, revision: body.revision, sha256: body.sha256, pdf }] },
  });
}

/** The signature, and from the second revision on why there is another, or all that is missing at once. */
function signedFrom(
  request: FastifyRequest,
  { issued }: JobLog,
): Result<Pick<IssueWish, 'signature' | 'reason'>> {
  const typed = typedOf(request);
  const signature = signatureFrom(typed, 'signature', requirePerson(request));
  const reason = issued.length === 0 ? undefined : one(typed, 'changed').trim();
  const issues = [
    ...(signature.ok ? [] : signature.issues),
    ...(reason === '' ? [{ field: 'changed', message: 'say why there is a further revision' }] : []),
    ...overLong('changed', reason ?? ''),
  ];
  return signature.ok && issues.length === 0
    ? { ok: true, value: { signature: signature.value, reason } }
    : { ok: false, issues };
}

/** What is said to a form that was sent before and has issued its record. */
function sentBefore(log: JobLog, request: FastifyRequest): string | undefined {
  const sent = log.issued.find((e) => e.key === keyOf(request) && e.by.id === requirePerson(request).id);
  return sent && `Revision ${sent.body.revision} is issued.`;
}

/** What keeps a record from being issued and is told on its page, where the signature waits to be sent again. */
const toldOnPage: ReadonlySet<ErrorCode> = new Set(['out-of-order', 'record-unfinished', 'too-many']);

/** Issues; a form that is sent again while its record is drawn waits for that one. */
function issuingOnce(services: Services): (form: string, wish: IssueWish) => Promise<JobIssue | AppError> {
  const underWay = new Map<string, Promise<JobIssue | AppError>>();
  return (form, wish) => {
    const drawn = underWay.get(form) ?? issuedOrWhyNot(services, wish).finally(() => underWay.delete(form));
    underWay.set(form, drawn);
    return drawn;
  };
}

async function issuedOrWhyNot({ issuer }: Services, wish: IssueWish): Promise<JobIssue | AppError> {
  try {
    return await issuer.issue(wish);
  } catch (error) {
    if (error instanceof AppError && toldOnPage.has(error.code)) return error;
    throw error;
  }
}

/** Sends an issued record as it was signed. Throws `not-found` where there is none. */
export function sendRecord(
  reply: FastifyReply,
  { store }: Services,
  number: string,
  revision: number,
): FastifyReply {
  const record = store.records.get(number, revision);
  if (record === undefined) throw new AppError('not-found', 'No such revision was issued.');
  return reply
    .type('application/pdf')
    .header('content-disposition', `attachment; filename="inlet-record-${number}-r${revision}.pdf"`)
    .header('cache-control', 'no-store')
    .send(record.pdf);
}
