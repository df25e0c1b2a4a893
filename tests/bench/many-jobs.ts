import { keptShop } from './kept-shop.js';
import { timesOfPages } from './listed-pages.js';
import { type Measure, type Row, timedInTurns } from './row.js';
import { serve } from './served/start.js';

const few = 100;
const many = 100_000;
const startsEach = 7;

/** A shop of 100,000 jobs beside one of a hundred, and its start beside that of a shop without any. */
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
    return [...pages, ...(await starts(entriesEach))];
  };

async function starts(entriesEach: number): Promise<Row[]> {
  const dirs = [await keptShop(0, entriesEach), await keptShop(many, entriesEach)];
  const [empty = 0, full = 0] = await startsOf(dirs, startsEach);
  const figures = `${full.toFixed(0)} and ${empty.toFixed(0)} ms`;
  const what = `the start to the first page, ${many.toLocaleString('en')} jobs`;
  return [
    { what, beside: 'no jobs', figures, ratio: full / empty, mark: { atMost: 1.2 } },
    { what, beside: 'one second', figures, ratio: full / 1000, mark: { atMost: 1 } },
  ];
}

/** From the command to the first page in each of these folders, ms. */
export function startsOf(dirs: readonly string[], runs: number): Promise<readonly number[]> {
  return timedInTurns(
    dirs.map((dir) => () => startMs(dir)),
    { runs, warm: 1 },
  );
}

async function startMs(dir: string): Promise<number> {
  const from = performance.now();
  const server = await serve(dir);
  const { status } = await fetch(`${server.address}/sign-in`);
  const taken = performance.now() - from;
  await server.stop();
  if (status !== 200) throw new Error(`the first page answers ${status}`);
  return taken;
}
