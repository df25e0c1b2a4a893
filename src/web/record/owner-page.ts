import type { FastifyInstance, FastifyRequest } from 'fastify';
import { words } from '../../circuit/circuit.js';
import { cordText, ownerFacts, runTogetherLines } from '../../circuit/owner-facts.js';
import { listText } from '../../circuit/quantity-text.js';
import { unitsFirst } from '../../circuit/units-first.js';
import { AppError } from '../../errors.js';
import type { EntryOf } from '../../logbook/entry.js';
import { circuitAt, foldJob } from '../../logbook/job-log.js';
import { isOfAnotherShop } from '../../logbook/key-terms.js';
import { standingRecord } from '../../logbook/standing-record.js';
import { concededLines, firstReCheck } from '../../record/document/cover.js';
import { grouped } from '../../record/grouped.js';
import { accept } from '../../steps/accept.js';
import { assess } from '../../steps/assess.js';
import { othersAtWork } from '../../steps/others-at-work.js';
import { inQuestion, sinceEntry } from '../../steps/since-record.js';
import { notGuarded, ownerSentences } from '../../trade/owner-sentences.js';
import { loadsOn, tryLoadsModel } from '../circuit/try-loads-model.js';
import type { JobAt } from '../job/job-at.js';
import { inAddress, keyOf, one, typedOf } from '../page/form.js';
import { contentOf, goTo, render, renderIssues } from '../page/page.js';
import { signatureFrom } from '../page/signature-form.js';
import type { Services } from '../services.js';
import { apartText, sinceLine, whenText } from '../words/job-words.js';
import { typedIn } from '../words/typed-in.js';
import { wordsOfPage } from '../words/word-links.js';
import { digestOf, openLink } from './owner-link.js';
import { sendRecord } from './record-page.js';

const fewTries = { config: { rateLimit: { max: 60, timeWindow: 60_000 } } };

/** `/o/:token`: what the owner may see without a session: the van's circuit, how to live with it, the record, a place to sign. */
export function registerOwnerPage(app: FastifyInstance, services: Services): void {
  const { store } = services;
  // A link that was put somewhere in public is found by nobody who does not have it.
  app.addHook('onRequest', async (request, reply) => {
    if (request.routeOptions.url?.startsWith('/o/')) reply.header('x-robots-tag', 'noindex, nofollow');
  });

  app.get('/o/:token', fewTries, async (request, reply) => {
    const model = ownerModel(services, request);
    store.access.opened(digestIn(request));
    return render(reply, 'owner', model);
  });

  app.get('/o/:token/record', fewTries, async (request, reply) => {
    const { at, revision } = jobOf(services, request);
    store.access.opened(digestIn(request));
    return sendRecord(reply, services, at.number, revision);
  });

  app.post('/o/:token/acknowledgement', fewTries, async (request, reply) => {
    const { at } = jobOf(services, request);
    const signature = signatureFrom(typedOf(request));
    if (!signature.ok) return renderIssues(reply, 'owner', ownerModel(services, request), signature.issues);
    const by = { id: 'owner', name: signature.value.name, roles: [] };
    const written = await store.logbook.appendTogether({
      job: at.number,
      key: keyOf(request),
      by: { id: by.id, name: by.name },
      content: { ...contentOf(request), path: `acknowledgement of ${at.number}` },
      decide: (log) =>
        accept(
          log,
          {
            kind: 'owner acknowledged',
            subject: 'job',
            body: { revision: Number(one(typedOf(request), 'revision')), signature: signature.value },
          },
          { by, people: [] },
        ),
    });
    if (!written.ok)
      return renderIssues(
        reply,
        'owner',
        ownerModel(services, request),
        written.issues.map((i) => ({ ...i, field: '' })),
      );
    return goTo(reply, `/o/${inAddress(request, 'token')}`, 'Thank you: it is in the logbook.');
  });
}

const tingle =
  'If you ever feel a tingle from the van: let go, keep people off, have the plug pulled at the supply, and have the cause found before the next use.';
const monthlyTest = (device: string) =>
  `Press TEST on the ground-fault device at ${device}: everything at every outlet must go dead. Press RESET: it must come back. If one outlet stays alive, or it will not reset, use nothing and call the fitter.`;

const digestIn = (request: FastifyRequest) => digestOf(inAddress(request, 'token'));

function jobOf(services: Services, request: FastifyRequest) {
  const link = openLink(services, inAddress(request, 'token'));
  if (link === undefined)
    throw new AppError(
      'not-found',
      'This link opens nothing: it was withdrawn, it has run out, or it was copied wrong. Ask the shop for a new one.',
    );
  const log = services.store.logbook.log(link.job);
  const standing = standingRecord(log) ?? log.issued.at(-1);
  const job = assess(log);
  if (standing === undefined || job === undefined)
    throw new AppError('not-found', 'There is no record behind this link. Ask the shop.');
  const { zone } = services.store.shop.state();
  const at: JobAt & { job: typeof job } = { number: link.job, log, job, zone };
  return { at, link, revision: standing.body.revision, standing };
}

/** What was let stand when the revision in the owner's hands was issued, what puts it in question, and what it changed of the one before. */
function sinceHandedOver({ log, zone }: JobAt, standing: EntryOf<'record issued'>) {
  const before = log.issued.findLast((e) => e.seq < standing.seq);
  const then = foldJob(log.entries.slice(0, standing.seq));
  const issuedTo = then.described?.owner;
  const handedOver = assess(then);
  return {
    conceded: handedOver === undefined ? [] : concededLines(handedOver, zone),
    reCheck: handedOver === undefined ? [] : firstReCheck(handedOver),
    inQuestion: inQuestion(log).map((s) => `Found on ${sinceLine(s, zone)}`),
    apart: apartText(log, zone),
    issuedTo: issuedTo === log.described?.owner ? undefined : issuedTo,
    changed: before && {
      revision: before.body.revision,
      reason: standing.body.reason,
      lines: sinceEntry(log, before.seq, standing.seq - 1).map((s) => sinceLine(s, zone)),
    },
  };
}

function ownerModel(services: Services, request: FastifyRequest) {
  const { at, link, revision, standing } = jobOf(services, request);
  const { log, job, number, zone } = at;
  // As the record has it: what is set since is only planned.
  const circuit = circuitAt(log, standing.seq) ?? job.circuit;
  const shop = services.store.shop.state();
  const linked = wordsOfPage(typedIn(circuit));
  const say = (text: string) => linked(unitsFirst(text, shop.units));
  const device =
    circuit.run.find((o) => o.device === 'gfci-receptacle')?.place ?? circuit.run[0]?.place ?? '';
  const token = inAddress(request, 'token');
  const acknowledged = log.acknowledged.find((a) => a.body.revision === revision);
  const withdrawn = log.withdrawn.get(revision);
  const since = sinceHandedOver(at, standing);
  return {
    title: log.described?.vehicle.description ?? 'Your van',
    labels: { signature: 'Your signature', 'signature.name': 'Your signature, the name' },
    shopName: shop.name,
    elsewhere: isOfAnotherShop(shop, standing),
    reach: shop.reach,
    number,
    revision,
    when: whenText(standing.at, zone),
    // Whoever was given the link is not who had the van before.
    signer: since.issuedTo ? '' : link.heldBy || (log.described?.owner ?? ''),
    fitter: listText([log.described?.fitter ?? '', ...othersAtWork(log)]),
    checker: log.described?.checker ?? '',
    has: [
      { term: 'Inlet', value: `${circuit.inlet.amps} A, ${words.side[circuit.inlet.side]}` },
      { term: 'The van’s breaker', value: `${circuit.breaker.amps} A, ${circuit.breaker.place}` },
      { term: 'Cord', value: unitsFirst(cordText(circuit), shop.units) },
      ...circuit.run.map((o, k) => ({
        term: `Outlet ${k + 1}`,
        value: `${o.place}: ${words.deviceKind[o.device]}, ${o.amps} A`,
      })),
      ...since.reCheck.map((value) => ({ term: 'First re-check', value })),
    ],
    together: runTogetherLines(circuit),
    tried: tryLoadsModel(circuit, loadsOn(request.query), { action: `/o/${token}` }),
    // In the order in which they are read: a word leads to its meaning where it first stands.
    tingle: say(tingle),
    monthly: say(monthlyTest(device)),
    sentences: ownerSentences(ownerFacts(circuit)).map(say),
    notGuarded: say(notGuarded),
    ...since,
    withdrawn:
      withdrawn && `On ${whenText(withdrawn.at, zone)} by ${withdrawn.by.name}: ${withdrawn.body.reason}`,
    record: `/o/${token}/record`,
    action: `/o/${token}/acknowledgement`,
    fingerprint: grouped(standing.body.fingerprint),
    acknowledged: acknowledged && `${acknowledged.body.signature.name}, ${whenText(acknowledged.at, zone)}`,
  };
}
