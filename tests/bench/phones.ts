import { mkdirSync, readFileSync } from 'node:fs';
import type { Author } from '../../src/logbook/entry.js';
import type { JobFile } from '../../src/store/carry/job-file.js';
import type { Sql } from '../../src/store/database.js';
import { headsName, openBeside } from '../../src/store/open-beside.js';
import { openStore } from '../../src/store/open-store.js';
import { findings } from '../../src/store/upkeep/findings.js';
import { addPersonWithPassphrase } from '../../src/web/session/people.js';
import { nameShop, passphrase, type ShopUnderTest } from '../web/shop-under-test.js';
import { type Seen, workShift } from './phone-shift.js';
import type { Measure, Row } from './row.js';
import { photograph } from './served/pictures.js';
import { inFolder, serve } from './served/start.js';
import { makeManyJobs, numberOf } from './shop-of-many-jobs.js';

const phones = 20;
const everyMs = 2000;
const forMs = 120_000;
/** One phone alone saves quicker, so that there are enough forms to tell the slowest of. */
const alone = { everyMs: 500, forMs: 60_000 };
const memoryMb = 400;
/** All that is written on a played job up to its record, without photos. */
const wholeJob = 126;

/** Twenty phones at once: all that was acknowledged is kept once, and nothing fails; and how long they wait beside one phone alone. */
export const twentyPhones: Measure = () =>
  inFolder(async (parent) => {
    const dir = `${parent}/shop`;
    await prepare(dir);
    const picture = await photograph();
    const server = await serve(dir);
    const shift = (k: number, seen: Seen, pace: { everyMs: number; forMs: number }) =>
      workShift({
        server: server.address,
        k,
        signIn: `fitter${k}`,
        job: numberOf(k),
        picture,
        seen,
        ...pace,
      });
    const one: Seen = { kept: [], answers: [], lost: 0, faults: [] };
    await shift(phones + 1, one, alone);
    const all: Seen = { kept: [], answers: [], lost: 0, faults: [] };
    const { mostMb, p99Ms } = await server.watched(() =>
      Promise.all(Array.from({ length: phones }, (_, n) => shift(n + 1, all, { everyMs, forMs }))),
    );
    await server.stop();
    const db = openBeside(dir);
    const kept = [...one.kept, ...all.kept];
    const amiss = kept.filter((told) => timesKept(db, told) !== 1).length;
    const found = [...findings(db, `${dir}/${headsName}`)].length;
    db.close();
    return rowsOf(one, all, { amiss, found, mostMb, p99Ms });
  });

function rowsOf(
  one: Seen,
  all: Seen,
  { amiss, found, mostMb, p99Ms }: { amiss: number; found: number; mostMb: number; p99Ms: number },
): Row[] {
  const { kept, answers, lost, faults } = all;
  const photos = kept.filter((k) => k.photo !== undefined).length;
  const p99 = (what: Seen['answers'][number]['what']) => {
    const [many, few] = [all, one].map((seen) =>
      seen.answers
        .filter((a) => a.what === what)
        .map((a) => a.ms)
        .toSorted((a, b) => a - b),
    ) as [number[], number[]];
    const at = (sorted: number[]) => sorted[Math.floor(sorted.length * 0.99)]?.toFixed(0);
    return `${at(many)} and ${at(few)} ms a ${what}`;
  };
  const none = { atMost: 0 } as const;
  const what = `${phones} phones, each saving every ${everyMs / 1000} s`;
  return [
    {
      what: `${what}: errors, as answers and as connections`,
      beside: 'none',
      figures: `${faults.length} of ${answers.length}; p99 beside one phone alone ${p99('page')}, ${p99('reading')}, ${p99('photo')}; loop p99 ${p99Ms.toFixed(0)} ms${faults.length > 0 ? `; the first: ${faults[0]}` : ''}`,
      ratio: kept.length === 0 ? Number.NaN : faults.length,
      mark: none,
    },
    {
      what: `${what}: what was acknowledged and is not in the store exactly once`,
      beside: 'none',
      figures: `${amiss} of ${kept.length - photos} readings and ${photos} photos; ${lost} answers were lost and their forms sent again`,
      ratio: kept.length === 0 ? Number.NaN : amiss,
      mark: none,
    },
    {
      what: `${what}: what disagrees in the store`,
      beside: 'none',
      figures: `${found}`,
      ratio: found,
      mark: none,
    },
    {
      what: `${what}: the most that the server held`,
      beside: `${memoryMb} MB`,
      figures: `${mostMb.toFixed(0)} MB`,
      ratio: mostMb / memoryMb,
      mark: { atMost: 1 },
    },
  ];
}

function timesKept(db: Sql, { job, key, photo }: Seen['kept'][number]): number {
  const [where, value] =
    photo === undefined
      ? ['form_key = ?', key]
      : ["kind = 'photo added' AND json_extract(body, '$.original') = ?", photo];
  const row = db.prepare(`SELECT count(*) AS n FROM entries WHERE job = ? AND ${where}`).get(job, value);
  return (row as { n: number }).n;
}

/** A shop with a fitter and a job for each phone, and one more for the phone that is alone. */
async function prepare(dir: string): Promise<void> {
  mkdirSync(dir);
  const store = openStore({ dir, clock: () => new Date() });
  nameShop({ store } as ShopUnderTest);
  makeManyJobs(store, { jobs: phones + 1, entries: wholeJob });
  const { id, name } = store.shop.state().people[0] as Author;
  const demo = JSON.parse(readFileSync('seed-demo/job.json', 'utf8')) as Pick<JobFile, 'instruments'>;
  for (const { id: subject, ...body } of demo.instruments)
    store.shop.append({
      by: { id, name },
      decide: () => ({ ok: true, value: [{ kind: 'instrument added', subject, body }] }),
    });
  for (let k = 1; k <= phones + 1; k += 1) {
    const person = { name: `Fitter ${k}`, signIn: `fitter${k}`, roles: ['fitter'] };
    const added = await addPersonWithPassphrase(store, {
      by: { id, name },
      person,
      passphrase,
      how: 'set-up',
    });
    if (!added.ok) throw new Error(added.issues[0]?.message);
  }
  store.close();
}
