import { demoInstruments, demoScript } from '../../seed-demo/demo-script.js';
import { drawPhotos } from '../../seed-demo/draw-photo.js';
import { playJob, type Script } from '../../seed-demo/play-job.js';
import type { Entry } from '../../src/logbook/entry.js';
import { makeShopKeys } from '../../src/record/keys.js';
import { assess } from '../../src/steps/assess.js';
import type { Assessment } from '../../src/steps/assessment.js';
import { stepsOf } from '../../src/steps/steps-of.js';
import { importJob } from '../../src/store/carry/import-job.js';
import { readJobFile } from '../../src/store/carry/job-file.js';
import { keepKeys } from '../../src/store/keep-keys.js';
import type { Services } from '../../src/web/services.js';
import { demoCircuit as circuitOfTheDemo } from '../circuit/demo-circuit.js';
import { ines, made } from '../store/temp-store.js';
import {
  addPerson,
  type Browser,
  nameShop,
  passphrase,
  type ShopUnderTest,
  shopUnderTest,
  signedIn,
} from './shop-under-test.js';

export const demoCircuit = circuitOfTheDemo();

export interface PlayedShop extends ShopUnderTest {
  readonly number: string;
  /** Ines, fitter and keeper, signed in. */
  readonly fitter: Browser;
  readonly job: () => Assessment;
  readonly entries: () => readonly Entry[];
}

/** A shop of two with instruments, and the demonstration job played until `until` is true of it, or to its end. */
export async function playedShop(until?: Script['until'], more: Partial<Script> = {}): Promise<PlayedShop> {
  const shop = await shopOfTwo();
  const { number } = await importJob(shop.store, readJobFile(JSON.stringify(await playedFile(until, more))));
  return {
    ...shop,
    number,
    fitter: signedIn(shop, 'ines'),
    job: () => assess(shop.store.logbook.log(number)) as Assessment,
    entries: () => shop.store.logbook.entries(number),
  };
}

/** Tam looks at the whole of a job, from a browser that Tam signed in with, and signs for it. */
export function secondLook(checker: Browser, number: string) {
  return checker.post(`/jobs/${number}/second-look`, {
    statement: 'Looked at all of it.',
    'signature.name': 'Tam Whitlock',
    'signature.strokes': '',
    passphrase,
  });
}

/**
 * Makes an owner's link to the record of a job and reads its path off the record's page, which shows it once. Throws where
 * none is shown.
 */
export async function makeLink(fitter: Browser, number: string, until = '2027-02-23'): Promise<string> {
  const page = `/jobs/${number}/record`;
  await fitter.post(`/jobs/${number}/link`, { heldBy: 'Odile Brandt', until }, { page });
  const path = /(\/o\/[\w-]{32})</.exec((await fitter.get(page)).body)?.[1];
  if (path === undefined) throw new Error('no link was made');
  return path;
}

/** A furnished shop of Ines, who holds every role, and Tam, its checker. */
export async function shopOfTwo(): Promise<ShopUnderTest> {
  const shop = await shopUnderTest({ named: false });
  furnishShop(shop);
  addPerson(shop, 'tam', 'Tam Whitlock', ['checker']);
  return shop;
}

/** The shop with its keeper, who is fitter and checker too, its key and its instruments. */
export function furnishShop({ store, clock }: Pick<Services, 'store' | 'clock'>): void {
  nameShop({ store });
  const shopName = store.shop.state().name;
  const keys = makeShopKeys({ shopName, now: clock(), secret: store.secret.keyPassphrase });
  made(keepKeys(store, { by: ines, keys, reason: 'first start' }));
  for (const { id, ...instrument } of demoInstruments)
    made(
      store.shop.append({
        by: ines,
        decide: () => ({
          ok: true,
          value: [{ kind: 'instrument added', subject: id, body: instrument as never }],
        }),
      }),
    );
}

/** The job as a file without digests: its people are those of the shop. */
export async function playedFile(until?: Script['until'], more: Partial<Script> = {}) {
  const script = demoScript(demoCircuit);
  const cast = { [script.fitter.id]: 'ines', [script.checker.id]: 'tam' };
  const photos = await demoPhotos();
  const entries = playJob({
    ...script,
    ...more,
    photo: (step, ask) => photos.get(`${step.id}.${ask.id}`)?.body,
    ...(until ? { until } : {}),
  });
  return {
    format: 'inlet-job/1',
    people: [
      { id: 'ines', name: 'Ines Okafor', roles: ['fitter', 'checker', 'keeper'] },
      { id: 'tam', name: 'Tam Whitlock', roles: ['checker'] },
    ],
    instruments: demoInstruments,
    photos: Object.fromEntries([...photos.values()].map((p) => [p.body.photo, p.jpeg.toString('base64')])),
    records: {},
    entries: entries.map(({ digest: _d, previous: _p, by, ...entry }) => ({
      ...entry,
      by: { id: cast[by.id] ?? by.id, name: by.name },
    })),
  };
}

let drawn: ReturnType<typeof drawPhotos> | undefined;

/** One small picture for every photo that the demonstration is asked for, drawn once a test file. */
function demoPhotos() {
  drawn ??= drawPhotos(stepsOf(demoCircuit));
  return drawn;
}
