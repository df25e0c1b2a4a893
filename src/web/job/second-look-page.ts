import type { FastifyInstance } from 'fastify';
import { listText } from '../../circuit/quantity-text.js';
import { mayWrite } from '../../steps/entry-kinds.js';
import { workBars } from '../../steps/issue-bars.js';
import { othersAtWork } from '../../steps/others-at-work.js';
import { type AcceptContext, judgesOwnWork } from '../../steps/proposal.js';
import { one, overLong, typedOf } from '../page/form.js';
import { goTo, render, renderIssues } from '../page/page.js';
import { signatureFrom } from '../page/signature-form.js';
import type { PassphraseAgain } from '../people/passphrase-again.js';
import type { Services } from '../services.js';
import { requirePerson } from '../session/guard.js';
import { jobPath, whenText } from '../words/job-words.js';
import { barLinks } from './bar-links.js';
import { askerOf, type WorkAt, workAt, writeEntry } from './job-at.js';

const usual =
  'I looked at the work, at the readings and at what the photos show, and found nothing left to mend.';

/** `/jobs/:job/second-look`: another person looks at the whole job and signs that they did. */
export function registerSecondLook(
  app: FastifyInstance,
  services: Services,
  passphraseAgain: PassphraseAgain,
): void {
  app.get('/jobs/:job/second-look', async (request, reply) =>
    render(reply, 'second-look', lookModel(workAt(services, request), askerOf(request, services))),
  );

  app.post('/jobs/:job/second-look', async (request, reply) => {
    const at = workAt(services, request);
    const typed = typedOf(request);
    const model = lookModel(at, askerOf(request, services));
    const statement = one(typed, 'statement').trim();
    const signature = signatureFrom(typed, 'signature', requirePerson(request));
    const issues = [
      ...(statement === '' ? [{ field: 'statement', message: 'say what you looked at' }] : []),
      ...overLong('statement', statement),
      ...(signature.ok ? [] : signature.issues),
    ];
    if (!signature.ok || issues.length > 0) return renderIssues(reply, 'second-look', model, issues);
    const wrong = model.mayNot === '' ? await passphraseAgain(request) : undefined;
    if (wrong !== undefined) return renderIssues(reply, 'second-look', model, [wrong]);
    const written = await writeEntry(request, services, at.number, {
      kind: 'second look signed',
      subject: 'job',
      body: { statement, signature: signature.value },
    });
    if (!written.ok)
      return renderIssues(
        reply,
        'second-look',
        model,
        written.issues.map((i) => ({ ...i, field: '' })),
      );
    return goTo(reply, jobPath(at.number, 'record'), 'The second look is signed.');
  });
}

function lookModel(at: WorkAt, asker: AcceptContext) {
  const { number, job, log } = at;
  const fitter = listText([log.described?.fitter ?? '', ...othersAtWork(log)]);
  const last = log.secondLooks.at(-1);
  const mayNot = judgesOwnWork(log, 'second look signed', asker)
    ? 'You did work on this job: the second look is another person’s.'
    : mayWrite('second look signed', asker.by.roles)
      ? ''
      : 'The second look is signed by someone with the role checker.';
  return {
    title: 'The second look',
    labels: {
      signature: 'Your signature',
      'signature.name': 'Your signature, the name',
      statement: 'What you looked at',
      passphrase: 'Your passphrase',
    },
    number,
    backTo: 'job',
    fitter,
    checker: log.described?.checker ?? '',
    bars: barLinks(number, workBars(job)),
    mayNot,
    me: asker.by.name,
    statement: usual,
    last: last && {
      by: last.body.signature.name,
      when: whenText(last.at, at.zone),
      statement: last.body.statement,
    },
    see: [
      { label: 'The sheet', href: jobPath(number, 'sheet') },
      { label: 'The readings', href: jobPath(number, 'readings') },
      { label: 'Defects and mends', href: jobPath(number, 'defects') },
      { label: 'Every entry, with its photos', href: jobPath(number, 'logbook') },
    ],
  };
}
