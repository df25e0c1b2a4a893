import { openStore } from '../../src/store/open-store.js';
import { type ShopUnderTest, signedIn } from '../web/shop-under-test.js';
import { keptShop } from './kept-shop.js';
import { timesOfPages } from './listed-pages.js';
import { type Measure, median, type Row } from './row.js';
import { memoryOf, serveCompiled } from './served/compiled.js';
import { Phone } from './served/phone.js';
import { numberOf } from './shop-of-many-jobs.js';

const few = 100;
const many = 100_000;
const startsEach = 5;
const views = 10_000;
const restAtMostMb = 150;

/** A shop of 100,000 jobs beside one of a hundred, and beside one of none. */
export const manyJobs =
  (entriesEach: number): Measure =>
  async () => {
    const sizes = [few, many].map((jobs) => ({ jobs, entries: entriesEach }));
    const pages = Object.entries(await timesOfPages(sizes)).map(([what, [before = 0, after = 0]]): Row => {
      return {
        what: `${what}, ${many.toLocaleString('en')} jobs of ${entriesEach} entries`,
        beside: `${few} jobs`,
        figures: `${after.toFixed(1)} and ${before.toFixed(1)} ms`,
        ratio: after / before,
        mark: { atMost: 1.5 },
      };
    });
    return [...pages, ...(await starts(entriesEach)), ...(await held(entriesEach))];
  };

/** From the command to the first page, in turn on the full folder and on one of a shop without jobs. */
async function starts(entriesEach: number): Promise<Row[]> {
  const dirs = [await keptShop(0, entriesEach), await keptShop(many, entriesEach)];
  const taken = dirs.map(() => [] as number[]);
  for (let run = 0; run < startsEach; run += 1)
    for (const [k, dir] of dirs.entries()) taken[k]?.push(await startMs(dir));
  const [empty = 0, full = 0] = taken.map(median);
  const figures = `${full.toFixed(0)} and ${empty.toFixed(0)} ms`;
  const what = `the start to the first page, ${many.toLocaleString('en')} jobs`;
  return [
    { what, beside: 'no jobs', figures, ratio: full / empty, mark: { atMost: 1.2 } },
    { what, beside: 'one second', figures, ratio: full / 1000, mark: { atMost: 1 } },
  ];
}

export async function startMs(dir: string): Promise<number> {
  const from = performance.now();
  const server = await serveCompiled(dir);
  const { status } = await fetch(`${server.address}/sign-in`);
  const taken = performance.now() - from;
  await server.stop();
  if (status !== 200) throw new Error(`the first page answers ${status}`);
  return taken;
}

/** What the server holds once it has looked through everything, and after 10,000 pages of a thousand jobs. */
async function held(entriesEach: number): Promise<Row[]> {
  const dir = await keptShop(many, entriesEach);
  const store = openStore({ dir, clock: () => new Date() });
  const { cookie } = signedIn({ store } as ShopUnderTest, 'ines');
  store.close();
  const from = performance.now();
  const server = await serveCompiled(dir, 'info');
  await server.said('everything agrees');
  const checkS = (performance.now() - from) / 1000;
  const rest = memoryOf(server.pid);
  const readers = Array.from({ length: 20 }, (_, k) => new Phone(server.address, k));
  for (const reader of readers) reader.cookie = cookie;
  const pages = Array.from({ length: 1000 }, (_, k) => `/jobs/${numberOf(1 + k * 97)}/steps/last-word`);
  const look = async (amount: number) => {
    await Promise.all(readers.map((reader, k) => readPages(reader, pages, k * 37, amount / readers.length)));
    return memoryOf(server.pid).nowMb;
  };
  const before = await look(views / 2);
  const after = await look(views);
  for (const reader of readers) reader.close();
  await server.stop();
  return [
    {
      what: `memory at rest, ${many.toLocaleString('en')} jobs`,
      beside: `${restAtMostMb} MB`,
      figures: `${rest.nowMb.toFixed(0)} MB; at most ${rest.mostMb.toFixed(0)} MB while all was looked through, ${checkS.toFixed(0)} s`,
      ratio: rest.nowMb / restAtMostMb,
      mark: { atMost: 1 },
    },
    {
      what: 'memory after 10,000 page views of 1,000 jobs',
      beside: 'after the 5,000 before them',
      figures: `${after.toFixed(0)} and ${before.toFixed(0)} MB`,
      ratio: after / before,
      mark: { atMost: 1.1 },
    },
  ];
}

/** So many pages in turn, every second one the list of jobs. */
async function readPages(
  reader: Phone,
  pages: readonly string[],
  from: number,
  count: number,
): Promise<void> {
  for (let n = 0; n < count; n += 1) {
    const path = n % 2 === 0 ? '/' : (pages[(from + n) % pages.length] as string);
    const { status } = await reader.get(path);
    if (status !== 200) throw new Error(`${path} answers ${status}`);
  }
}
