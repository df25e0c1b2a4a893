import { buildApp } from '../../src/app.js';
import { openStore } from '../../src/store/open-store.js';
import { Browser, nameShop, passphrase } from '../web/shop-under-test.js';
import { type Measure, type Row, timed } from './row.js';
import { inFolder } from './served/start.js';
import { makeManyJobs, numberOf, plateOf } from './shop-of-many-jobs.js';

const few = 100;
const clock = () => new Date();

/** The list, a search and a step's page with many jobs, each beside the same page with a hundred. */
export const manyJobs =
  (count: number): Measure =>
  async () => {
    const small = await timesOf(few);
    const large = await timesOf(count);
    return small.map(([what, before], k): Row => {
      const [, after, atMost] = large[k] as (typeof large)[number];
      return {
        what: `${what}, ${count.toLocaleString('en')} jobs`,
        beside: `${few} jobs`,
        figures: `${after.toFixed(2)} and ${before.toFixed(2)} ms`,
        ratio: after / before,
        mark: { atMost },
      };
    });
  };

function timesOf(count: number): Promise<readonly (readonly [what: string, ms: number, atMost: number])[]> {
  return inFolder(async (dir) => {
    const first = openStore({ dir, clock });
    makeManyJobs(first, count);
    first.close();
    const begun = performance.now();
    const store = openStore({ dir, clock });
    const app = await buildApp({
      config: { logLevel: 'silent' },
      store,
      clock,
      requestsPerMinute: Number.MAX_SAFE_INTEGER,
    });
    const start = performance.now() - begun;
    await nameShop({ app, store } as Parameters<typeof nameShop>[0]);
    const browser = new Browser(app);
    await browser.signIn('ines', passphrase);
    const page = async (url: string) => {
      const { statusCode } = await browser.get(url);
      if (statusCode !== 200) throw new Error(`${url} answers ${statusCode}`);
    };
    const oldest = new URLSearchParams({ before: `${at(21)}_${numberOf(21)}` });
    const measured = [
      ['the start, every head looked at', start, count / few / 2],
      ['the list of jobs', await timed(() => page('/'), slow), 2],
      ['its last page', await timed(() => page(`/?${oldest}`), slow), 2],
      ['one job by its plate', await timed(() => page(`/?q=${encodeURIComponent(plateOf(50))}`), slow), 3],
      ['a word that one in seven answers', await timed(() => page('/?q=zoe'), slow), 3],
      ['a word that none answers', await timed(() => page('/?q=nobody'), slow), 3],
      ['two letters that none answers', await timed(() => page('/?q=%7E%7E'), slow), count / few],
      ['the jobs that are held', await timed(() => page('/?state=held'), slow), 2],
      ['a step’s page', await timed(() => page(`/jobs/${numberOf(50)}/steps/last-word`), slow), 2],
    ] as const;
    await app.close();
    store.close();
    return measured;
  });
}

const slow = { runs: 40, warm: 5 };

/** When the newest entry of the k-th job was written. */
function at(k: number): string {
  return new Date(Date.UTC(2026, 0, 1) + k * 60_000 + 19).toISOString();
}
