import { readFileSync } from 'node:fs';
import type { Entry, EntryOf } from '../../src/logbook/entry.js';
import { assess } from '../../src/steps/assess.js';
import type { Assessment } from '../../src/steps/assessment.js';
import { importJob } from '../../src/store/carry/import-job.js';
import { readJobFile } from '../../src/store/carry/job-file.js';
import { demoCircuit, makeLink, type playedFile, shopOfTwo } from '../web/played-shop.js';
import { formOn } from '../web/read-form.js';
import { addPerson, type Browser, passphrase, type ShopUnderTest, signedIn } from '../web/shop-under-test.js';

export interface JobAtStage {
  readonly number: string;
  readonly job: () => Assessment;
}

/** A name that asks for room, and a short one. */
const owners = [
  'Odile Brandt',
  'Perpetua Vandersteen-Oyelaran-Castellanos and Daughters, Travelling Bookbinders',
  'Bo',
];

/** One shop with a job at every stage, and an owner's link. */
export async function shopAtEveryStage() {
  const shop = await shopOfTwo();
  addPerson(shop, 'wilhelmina', 'Wilhelmina-Konstantina Featherstonehaugh', ['fitter']);
  const fitter = signedIn(shop, 'ines');
  const closed = await play(shop, 1, ({ kind }) => kind === 'step done');
  const held = await play(shop, 2, ({ kind }) => kind === 'circuit set', { ...demoCircuit, together: [] });
  const dead = await play(shop, 4, ({ subject }) => subject === 'reading:ground-path.bench');
  const defect = await play(shop, 5, ({ kind }) => kind === 'defect raised');
  const ended = await play(shop, 6, ({ kind }) => kind === 'second look signed');
  const link = await handOver(fitter, ended.number);
  await fitter.post(
    `/jobs/${closed.number}/closure`,
    { reason: 'The van was sold before the work began; its new owner wants no shore power.' },
    { page: `/jobs/${closed.number}` },
  );
  return {
    ...{ shop, fitter, closed, held, dead, defect, ended, link },
    changed: await changeCircuit(fitter, dead.number),
    begun: await describe(fitter),
  };
}

/** A shop with a fitter and a checker, and with a job for each of these last entries of the demonstration. */
export async function shopWithJobs(
  stages: readonly ((entry: Pick<Entry, 'kind' | 'subject'>) => boolean)[],
): Promise<{ shop: ShopUnderTest; jobs: JobAtStage[] }> {
  const shop = await shopOfTwo();
  const jobs: JobAtStage[] = [];
  for (const [k, last] of stages.entries()) jobs.push(await play(shop, k + 1, last));
  return { shop, jobs };
}

type PlayedFile = Awaited<ReturnType<typeof playedFile>>;

/** The demonstration's job, played once: its beginnings are the jobs at every stage. */
function demonstration(): PlayedFile {
  const file = JSON.parse(readFileSync(new URL('../../seed-demo/job.json', import.meta.url), 'utf8'));
  const cast: Readonly<Record<string, string>> = { 'p-ines': 'ines', 'p-tam': 'tam' };
  return {
    ...file,
    people: file.people.map((p: { id: string }) => ({ ...p, id: cast[p.id] })),
    entries: file.entries.map(({ digest: _d, previous: _p, by, ...entry }: Entry) => ({
      ...entry,
      by: { ...by, id: cast[by.id] },
    })),
  };
}

/** Puts the demonstration into the shop as this job of the year, up to and with the entry that `last` is true of. */
async function play(
  shop: ShopUnderTest,
  nth: number,
  last: (entry: PlayedFile['entries'][number]) => boolean,
  circuit = demoCircuit,
): Promise<JobAtStage> {
  const job = `2026-${String(nth).padStart(3, '0')}`;
  const file = demonstration();
  const { rules } = (file.entries[1] as EntryOf<'circuit set'>).body;
  const entries = file.entries.slice(0, file.entries.findIndex(last) + 1).map((entry) => {
    if (entry.kind === 'job described')
      return {
        ...entry,
        job,
        body: { ...entry.body, owner: owners[nth % owners.length], place: `Thimble Lane, bay ${nth}` },
      };
    if (entry.kind === 'circuit set') return { ...entry, job, body: { circuit, rules, reason: '' } };
    return { ...entry, job };
  });
  const { number } = await importJob(shop.store, readJobFile(JSON.stringify({ ...file, job, entries })));
  return { number, job: () => assess(shop.store.logbook.log(number)) as Assessment };
}

/** Issues the record and makes the owner's link; answers its path. */
async function handOver(fitter: Browser, number: string): Promise<string> {
  const record = `/jobs/${number}/record`;
  const signed = {
    'signature.name': 'Ines Okafor',
    'signature.strokes': '[[[20,100],[300,60]]]',
    passphrase,
  };
  const issued = await fitter.post(record, signed);
  if (issued.statusCode !== 303) throw new Error(`the record is refused: ${issued.statusCode}`);
  return makeLink(fitter, number);
}

/** Another torque at the last outlet; answers the page of what it opens again. */
async function changeCircuit(fitter: Browser, number: string): Promise<string> {
  const page = `/jobs/${number}/circuit`;
  const fields = formOn((await fitter.get(page)).body, page);
  const sent = await fitter.postRaw(page, {
    ...fields,
    act: 'save',
    'run.2.torqueNm': '18',
    reason: 'Another device was delivered.',
  });
  if (sent.statusCode !== 303) throw new Error(`the change is refused: ${sent.statusCode}`);
  return String(sent.headers.location);
}

/** A job that has its description and nothing more; answers its number. */
async function describe(fitter: Browser): Promise<string> {
  const form = formOn((await fitter.get('/jobs/new')).body, '/jobs');
  const sent = await fitter.postRaw('/jobs', {
    ...form,
    'vehicle.description':
      'A long-wheelbase panel van that carries a potter’s wheel, two kilns and a shelf of glazes',
    use: 'work-van',
    owner: 'Bo',
    place: 'The yard behind the kiln',
  });
  const number = /\/jobs\/([\w-]+)/.exec(String(sent.headers.location))?.[1];
  if (number === undefined) throw new Error(`the job is refused: ${sent.body}`);
  return number;
}
