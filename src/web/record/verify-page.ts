import type { FastifyInstance } from 'fastify';
import type { Shop } from '../../logbook/fold-shop.js';
import { keyTerms } from '../../logbook/key-terms.js';
import { standingRecord } from '../../logbook/standing-record.js';
import { grouped } from '../../record/grouped.js';
import { verifyApart } from '../../record/verify-apart.js';
import type { Verification } from '../../record/verify-pdf.js';
import { inQuestion } from '../../steps/since-record.js';
import { knownFingerprints } from '../../store/keep-keys.js';
import { render, renderIssues } from '../page/page.js';
import type { Upload } from '../page/uploads.js';
import type { Services } from '../services.js';
import { termLines } from '../shop/key-term-lines.js';
import { dayOf, whenText } from '../words/job-words.js';

/** `/verify`: anyone may ask whether a PDF is a record, whole and unchanged, and whether it still stands. Nothing is kept. */
export function registerVerifyPage(app: FastifyInstance, services: Services): void {
  const model = () => ({ title: 'Check a record', terms: termLines(services) });

  app.get('/verify', async (_request, reply) => render(reply, 'verify', model()));

  app.post('/verify', { config: { rateLimit: { max: 30, timeWindow: 60_000 } } }, async (request, reply) => {
    const upload = (request.uploads ?? []).find((u) => u.field === 'record');
    if (upload === undefined)
      return renderIssues(reply, 'verify', model(), [{ field: 'record', message: 'choose the PDF first' }]);
    if (upload.refused !== undefined)
      return renderIssues(reply, 'verify', model(), [{ field: 'record', message: upload.refused }]);
    return render(reply, 'verify', { ...model(), answer: await answerTo(services, upload) });
  });
}

type Verified = Extract<Verification, { facts: unknown }>;

async function answerTo({ store }: Services, { bytes, sha256 }: Upload) {
  const shop = store.shop.state();
  const found = await verifyApart(bytes, {
    knownFingerprints: knownFingerprints(store),
  });
  if (typeof found === 'string')
    return {
      look: 'unproven',
      word: 'not checked',
      sentences: [
        found === 'busy'
          ? 'Several files are being checked already: please try again in a minute.'
          : 'The file takes more time or memory than is given to a check here. Nothing is known of it.',
      ],
      facts: [],
      standing: '',
    };
  if (!('facts' in found))
    return {
      look: 'fail',
      word: found.state === 'not-intact' ? 'not intact' : 'not a record',
      sentences: found.reasons,
      facts: [],
      standing: '',
    };
  const { facts } = found;
  const standing = standingOf(store, sha256);
  return {
    ...headOf(found, standing),
    sentences: [
      ...found.reasons.map((said) =>
        said.replace(/\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ/g, (at) => whenText(at, shop.zone)),
      ),
      'This says nothing about the wiring today: it says that the paper is the one that was signed.',
    ],
    facts: [
      { term: 'Job', value: facts.job },
      { term: 'Revision', value: String(facts.revision) },
      { term: 'Issued', value: `${dayOf(facts.issuedAt, shop.zone)} by ${facts.issuedBy}` },
      { term: 'Shop', value: facts.shop },
      { term: 'Van', value: facts.van },
      { term: 'Signer', value: signerText(shop, found) },
      { term: 'Fingerprint', value: grouped(found.fingerprint) },
    ],
    standing: standing.sentence,
  };
}

/** What is read first. Only a file that this shop issued, and that still stands, passes. */
function headOf(found: Verified, { doubt }: Standing): { look: 'pass' | 'unproven' | 'fail'; word: string } {
  if (found.state === 'other-pages')
    return { look: 'fail', word: 'intact, but its pages do not read as its data' };
  const but = found.signer === 'known' ? doubt : 'by a signer who is not known here';
  return but === undefined
    ? { look: 'pass', word: 'intact' }
    : { look: 'unproven', word: `intact, but ${but}` };
}

/** Whose key it is, and whether the shop still signs with it. */
function signerText(
  shop: Shop,
  { signer, fingerprint, facts }: { signer: string; fingerprint: string; facts: { issuedAt: string } },
): string {
  if (signer !== 'known') return 'not known here';
  const until = keyTerms(shop).find((k) => k.fingerprint === fingerprint)?.until;
  if (until === undefined) return `this shop, ${shop.name}`;
  const words = `this shop, ${shop.name}, by a key that it signed with until ${dayOf(until, shop.zone)}`;
  return facts.issuedAt <= until ? words : `${words}. The record is dated after that: ask the shop`;
}

/** What is known of a file's standing, and in a few words what speaks against it. */
interface Standing {
  readonly sentence: string;
  readonly doubt?: string;
}

/** Whether the very file that was sent is one of this shop's records, and whether it still stands. */
function standingOf(store: Services['store'], sha256: string): Standing {
  const record = store.records.bySha256(sha256);
  if (record === undefined)
    return {
      sentence: 'This shop has not issued this very file, so it cannot say whether it still stands.',
      doubt: 'not one of the files that this shop issued',
    };
  const { zone } = store.shop.state();
  const log = store.logbook.log(record.job);
  const withdrawn = log.withdrawn.get(record.revision);
  if (withdrawn !== undefined)
    return {
      sentence: `This revision was withdrawn on ${dayOf(withdrawn.at, zone)}: ${withdrawn.body.reason}`,
      doubt: 'withdrawn',
    };
  const newest = standingRecord(log);
  const last = log.issued.at(-1);
  if (newest?.body.revision === record.revision) {
    const gone = last && log.withdrawn.get(last.body.revision);
    if (gone !== undefined)
      return {
        sentence: `Revision ${gone.body.revision} took its place and was withdrawn on ${dayOf(gone.at, zone)}; ask the shop. Why: ${gone.body.reason}`,
        doubt: 'a later revision took its place and was withdrawn',
      };
    const [first] = inQuestion(log);
    if (first === undefined) return { sentence: 'It is the newest revision and still stands.' };
    return {
      sentence: `It is the newest revision, and it is in question since ${dayOf(first.at, zone)}: something was found that it does not say. Ask the shop.`,
      doubt: 'in question',
    };
  }
  const why = newest?.body.reason ? ` Why: ${newest.body.reason}` : '';
  return {
    sentence: `Revision ${newest?.body.revision} came after it and takes its place.${why}`,
    doubt: 'a later revision takes its place',
  };
}
