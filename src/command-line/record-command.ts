import { randomBytes } from 'node:crypto';
import { type FileIo, UsageError } from '../command.js';
import { readConfig } from '../config.js';
import { AppError } from '../errors.js';
import type { Signature } from '../logbook/signature.js';
import { lettersNotPrinted } from '../record/draw/printable.js';
import { type IssueFacts, issueRecord } from '../record/issue-record.js';
import { makeShopKeys, openSigner, type Signer } from '../record/keys.js';
import { timestampSentence } from '../record/stamp-pdf.js';
import { timestampAuthority } from '../record/timestamp-authority.js';
import type { Assessment, Bar } from '../steps/assessment.js';
import { worksAlone } from '../steps/issue-bars.js';
import { photosOf } from '../store/carry/import-job.js';
import type { JobFile } from '../store/carry/job-file.js';
import { openStore } from '../store/open-store.js';
import { openShopSigner } from '../store/shop-signer.js';
import { readArguments, storeOptions, timestampOption } from './options.js';
import { readJobFileAt, replayedJob } from './read-job-file-at.js';
import { writeOut } from './write-out.js';

const help = [
  'Usage: inlet-logbook record JOB.json|JOB.zip --out FILE.pdf [--data DIR] [--timestamp URL]',
  '',
  'Draws and signs the record of a job file (inlet-job/1, as JSON or zipped). Every entry goes through the same gate as on the pages.',
  'Photos that a JSON names and does not hold are read beside it, as photos/DIGEST.jpg.',
  '  --out FILE.pdf   where to write it; a file that is there already is never written over',
  '  --data DIR       sign with the key of the shop in this folder; without it a key is made for the occasion',
  '  --timestamp URL  ask the authority at this http or https address (RFC 3161) for its time on the signature',
  '                   (INLET_TIMESTAMP); the record is written all the same where it does not answer',
  '  --help           this text',
  '',
  'Exit 0 when the record was written, 1 when the job bars it, 2 for a wrong argument or file.',
];

const options = { ...storeOptions, ...timestampOption, out: { type: 'string' } } as const;

/** The shop that a record names when it is signed without one. */
const nobody = 'Signed with a key made for the occasion';

/** The command `record`. Answers the exit code; throws UsageError for a wrong argument or file. */
export async function runRecord(
  args: readonly string[],
  io: FileIo,
  clock: () => Date = () => new Date(),
): Promise<number> {
  const given = readArguments({ command: 'record', help, options, names: ['JOB.json|JOB.zip'] }, args, io);
  if (given === undefined) return 0;
  const [values, path] = given;
  const out = values.out;
  if (out === undefined) throw new UsageError('record: needs --out FILE.pdf');
  const { timestamp } = readConfig({ timestamp: values.timestamp });
  const file = await readJobFileAt('record', path, io);
  const { number, entries, job } = replayedJob('record', path, file);
  if (job.barsIssue.length > 0) {
    io.err(`record: ${path}: the record cannot be issued yet: ${firstOf(job.barsIssue)}`);
    return 1;
  }
  for (const lacking of lettersNotPrinted(entries))
    io.err(`record: ${path}: ${lacking}; each is printed as its number`);
  const photos = await photosOf(file).catch((error: unknown) => unusable(path, error));
  const shop = signingShop(values.data, clock());
  const issued = await issueRecord({
    assessment: job,
    facts: factsOf(number, job, file, shop, clock()),
    photos: (id) => photos.get(id)?.jpeg,
    signer: shop.signer,
    authority: timestamp === undefined ? undefined : timestampAuthority(timestamp),
    jobFile: `${JSON.stringify({ ...file, job: number, photos: {}, records: {}, entries }, undefined, 1)}\n`,
  }).catch((error: unknown) => unusable(path, error));
  await writeOut('record', out, issued.pdf, io);
  io.out(`Record of job ${number}: ${out} (${issued.pdf.length} bytes, SHA-256 ${issued.sha256})`);
  if (issued.timestamp !== undefined) io.out(timestampSentence(issued));
  if (issued.withoutTimestamp !== undefined) io.err(issued.withoutTimestamp);
  if (shop.occasional)
    io.out('Signed with a key made for the occasion: it shows that the file is unchanged, not who made it.');
  io.out(`Signer: ${shop.signer.fingerprint}`);
  io.out(`Root:   ${shop.signer.rootFingerprint}`);
  return 0;
}

interface SigningShop {
  readonly name: string;
  readonly reach: string;
  readonly units: IssueFacts['units'];
  readonly zone: IssueFacts['zone'];
  readonly signer: Signer;
  readonly occasional: boolean;
}

function signingShop(dir: string | undefined, now: Date): SigningShop {
  if (dir === undefined) {
    const secret = randomBytes(32).toString('hex');
    const signer = openSigner({ ...makeShopKeys({ shopName: nobody, now, secret }), secret });
    return { name: nobody, reach: '', units: 'imperial', zone: 'UTC', signer, occasional: true };
  }
  const store = openStore({ dir, clock: () => now, readOnly: true });
  try {
    const { name, reach, units, zone } = store.shop.state();
    return { name, reach, units, zone, signer: openShopSigner(store), occasional: false };
  } finally {
    store.close();
  }
}

function factsOf(number: string, job: Assessment, file: JobFile, shop: SigningShop, now: Date): IssueFacts {
  const fitter = job.log.described?.fitter ?? '';
  return {
    job: number,
    shop: shop.name,
    reach: shop.reach,
    revision: job.log.issued.length + 1,
    issuedAt: `${now.toISOString().slice(0, 19)}Z`,
    issuedBy: fitter,
    worksAlone: worksAlone(job.log),
    signature: signatureOf(job, fitter),
    units: shop.units,
    zone: shop.zone,
    instruments: file.instruments,
    keyForOccasion: shop.occasional,
  };
}

/** The fitter's signature from an earlier issue where there was one; else the name, typed. */
function signatureOf(job: Assessment, fitter: string): Signature {
  const earlier = job.log.issued.findLast((e) => e.body.signature.name === fitter);
  return earlier?.body.signature ?? { name: fitter, strokes: [] };
}

function unusable(path: string, error: unknown): never {
  throw error instanceof AppError && error.code === 'bad-file'
    ? new UsageError(`record: ${path}: ${error.message}`)
    : error;
}

function firstOf(bars: readonly Bar[]): string {
  const more = bars.length - 3;
  return `${bars
    .slice(0, 3)
    .map(({ text }) => text)
    .join(' ')}${more > 0 ? ` And ${more} more.` : ''}`;
}
