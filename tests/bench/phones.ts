import { createHash } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import sharp from 'sharp';
import type { Author } from '../../src/logbook/entry.js';
import type { Sql } from '../../src/store/database.js';
import { findings } from '../../src/store/findings.js';
import { headsName, openBeside, openStore } from '../../src/store/open-store.js';
import { addPersonWithPassphrase } from '../../src/web/people.js';
import { formOn } from '../web/read-form.js';
import { nameShop, type ShopUnderTest } from '../web/shop-under-test.js';
import type { Measure, Row } from './row.js';
import { memoryOf, serveCompiled } from './served/compiled.js';
import { type Answer, Phone } from './served/phone.js';
import { inFolder } from './served/start.js';
import { makeManyJobs, numberOf } from './shop-of-many-jobs.js';

const phones = 20;
const forMs = 120_000;
const thinkMs = { from: 500, to: 2500 };
/** One saved thing in so many is a photo; one form in so many loses its answer and is sent again under its key. */
const onePhotoIn = 4;
const oneLostIn = 8;
const memoryMb = 500;
/** All that is written on a played job up to its record, without photos. */
const wholeJob = 126;
const reading = 'voltage.hot-neutral.bench';
const photoStep = 'look-behind';
const passphrase = 'spindle-lantern-otter-quarry';

/** What a phone was told is kept: a reading by its form's key, a photo by the digest of what was sent. */
interface Kept {
  readonly job: string;
  readonly key?: string;
  readonly photo?: string;
}

interface Seen {
  readonly kept: Kept[];
  readonly answers: { readonly status: number; readonly ms: number; readonly sent: boolean }[];
  lost: number;
  broken: number;
}

/** Twenty phones at once against the compiled server: all that was acknowledged is kept once, and nothing fails. */
export const twentyPhones: Measure = () =>
  inFolder(async (parent) => {
    const dir = `${parent}/shop`;
    const jobs = await prepare(dir);
    const picture = await photograph();
    const server = await serveCompiled(dir);
    const seen: Seen = { kept: [], answers: [], lost: 0, broken: 0 };
    const until = performance.now() + forMs;
    await Promise.all(jobs.map((job, k) => work({ server: server.address, k, job, until, picture, seen })));
    const { mostMb } = memoryOf(server.pid);
    await server.stop();
    const db = openBeside(dir);
    const amiss = seen.kept.filter((kept) => timesKept(db, kept) !== 1).length;
    const found = [...findings(db, `${dir}/${headsName}`)].length;
    db.close();
    return rowsOf(seen, { amiss, found, mostMb });
  });

function rowsOf(
  seen: Seen,
  { amiss, found, mostMb }: { amiss: number; found: number; mostMb: number },
): Row[] {
  const { kept, answers, lost, broken } = seen;
  const failed = answers.filter((a) => a.status >= 500).length;
  const photos = kept.filter((k) => k.photo !== undefined).length;
  const p99 = (some: Seen['answers']) =>
    some
      .map((a) => a.ms)
      .toSorted((a, b) => a - b)
      [Math.floor(some.length * 0.99)]?.toFixed(0);
  const none = { atMost: 0 } as const;
  return [
    {
      what: `${phones} phones: what was acknowledged and is not in the store exactly once`,
      beside: 'none',
      figures: `${amiss} of ${kept.length - photos} readings and ${photos} photos; ${lost} answers were lost and their forms sent again, ${broken} connections broke by themselves`,
      ratio: kept.length === 0 ? Number.NaN : amiss,
      mark: none,
    },
    {
      what: `${phones} phones: what disagrees in the store`,
      beside: 'none',
      figures: `${found}`,
      ratio: found,
      mark: none,
    },
    {
      what: `${phones} phones: answers with a fault of the server`,
      beside: 'none',
      figures: `${failed} of ${answers.length}; p99 ${p99(answers.filter((a) => !a.sent))} ms a page, ${p99(answers.filter((a) => a.sent))} ms a form`,
      ratio: failed,
      mark: none,
    },
    {
      what: `${phones} phones: the most that the server held`,
      beside: `${memoryMb} MB`,
      figures: `${mostMb.toFixed(0)} MB`,
      ratio: mostMb / memoryMb,
      mark: { atMost: 1 },
    },
  ];
}

interface Shift {
  readonly server: string;
  readonly k: number;
  readonly job: string;
  readonly until: number;
  readonly picture: Buffer;
  readonly seen: Seen;
}

/** One phone's two minutes: sign in, open the job, then save, think, save. */
async function work({ server, k, job, until, picture, seen }: Shift): Promise<void> {
  const phone = new Phone(server, k);
  const chance = chanceFrom(k + 1);
  /** Asks until there is an answer: where a connection breaks by itself, a phone opens another and sends the same again. */
  const note = async (ask: () => Promise<Answer>, sent: boolean): Promise<Answer> => {
    for (;;)
      try {
        const answer = await ask();
        seen.answers.push({ status: answer.status, ms: answer.ms, sent });
        return answer;
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== 'ECONNRESET' || performance.now() > until + forMs)
          throw error;
        seen.broken += 1;
      }
  };
  const open = async (path: string) => {
    const page = await note(() => phone.get(path), false);
    if (page.status !== 200) throw new Error(`${path} answers ${page.status}`);
    return page.body;
  };
  const save = async (path: string, form: FormData | URLSearchParams, kept: Kept) => {
    if (chance() < 1 / oneLostIn) {
      await phone.post(path, form, { lost: true });
      seen.lost += 1;
    }
    const answer = await note(() => phone.post(path, form), true);
    if (answer.status === 303) seen.kept.push(kept);
    else if (answer.status < 500) throw new Error(`${path} answers ${answer.status}`);
  };
  const signIn = new URLSearchParams({
    ...formOn(await open('/sign-in'), '/sign-in'),
    signIn: `fitter${k + 1}`,
    passphrase,
  });
  // Where too many come in at one moment a person is told how long to wait, and does.
  const enter = () => note(() => phone.post('/sign-in', signIn), true);
  let entered = await enter();
  for (; entered.status === 429; entered = await enter())
    await pause(1000 * Number(entered.headers['retry-after'] ?? 5));
  if (entered.status !== 303) throw new Error(`signing in answers ${entered.status}`);
  await open(`/jobs/${job}`);
  for (let n = 0; performance.now() < until; n += 1) {
    await pause(thinkMs.from + chance() * (thinkMs.to - thinkMs.from));
    if (chance() < 1 / onePhotoIn) {
      const path = `/jobs/${job}/steps/${photoStep}`;
      const fields = formOn(await open(path), `${path}/photos`);
      const bytes = marked(picture, `${job} ${n}`);
      const form = new FormData();
      for (const [name, value] of Object.entries(fields)) form.append(name, value);
      form.append(`photo.${fields.ask}`, new Blob([bytes], { type: 'image/jpeg' }), 'photo.jpg');
      await save(`${path}/photos`, form, { job, photo: createHash('sha256').update(bytes).digest('hex') });
    } else {
      const path = `/jobs/${job}/readings/${reading}`;
      const fields = formOn(await open(path), path);
      const form = new URLSearchParams({ ...fields, volts: (119 + chance() * 2).toFixed(1) });
      await save(path, form, { job, key: fields._key as string });
    }
  }
  phone.close();
}

function timesKept(db: Sql, { job, key, photo }: Kept): number {
  const [where, value] =
    photo === undefined
      ? ['form_key = ?', key]
      : ["kind = 'photo added' AND json_extract(body, '$.original') = ?", photo];
  const row = db.prepare(`SELECT count(*) AS n FROM entries WHERE job = ? AND ${where}`).get(job, value);
  return (row as { n: number }).n;
}

/** A shop with a fitter and a job for each phone. */
async function prepare(dir: string): Promise<readonly string[]> {
  mkdirSync(dir);
  const store = openStore({ dir, clock: () => new Date() });
  await nameShop({ store } as ShopUnderTest);
  makeManyJobs(store, { jobs: phones, entries: wholeJob });
  const { id, name } = store.shop.state().people[0] as Author;
  for (let k = 1; k <= phones; k += 1) {
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
  return Array.from({ length: phones }, (_, k) => numberOf(k + 1));
}

/** A picture as large as a phone's. */
function photograph(): Promise<Buffer> {
  const noise = { type: 'gaussian' as const, mean: 128, sigma: 20 };
  return sharp({ create: { width: 2400, height: 1800, channels: 3, background: '#887', noise } })
    .jpeg({ quality: 80 })
    .toBuffer();
}

/** The same picture with a comment behind its first marker: other bytes, taken for another photo. */
function marked(jpeg: Buffer, words: string): Buffer<ArrayBuffer> {
  const head = Buffer.from([0xff, 0xfe, 0, words.length + 2]);
  return Buffer.concat([jpeg.subarray(0, 2), head, Buffer.from(words, 'latin1'), jpeg.subarray(2)]);
}

/** Numbers from 0 to 1 that are the same in every run (mulberry32). */
function chanceFrom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}
