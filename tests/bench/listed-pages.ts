import { buildApp } from '../../src/app.js';
import { openStore } from '../../src/store/open-store.js';
import { type Browser, type ShopUnderTest, signedIn } from '../web/shop-under-test.js';
import { keptShop } from './kept-shop.js';
import { timedInTurns } from './row.js';
import { numberOf, plateOf, writtenAt } from './shop-of-many-jobs.js';

/** The pages whose time may not grow with the number of jobs, by their addresses in a shop of so many. */
export const listedPages: Readonly<Record<string, (jobs: number) => string>> = {
  'the list of jobs': () => '/',
  'its last page': () => `/?${new URLSearchParams({ before: `${writtenAt(9, 19)}_${numberOf(9)}` })}`,
  'one job by its plate': (jobs) => searched(plateOf(jobs / 2)),
  'a word that one in seven answers': () => searched('zoe'),
  'a part of the oldest jobs’ numbers alone': (jobs) => searched(numberOf(Math.ceil(jobs / 50)).slice(0, 7)),
  'two common words that never meet': () => searched('zoe odile'),
  'a word that none answers': () => searched('nobody'),
  'two letters that none answers': () => searched('~~'),
  'the jobs that are held': () => '/?state=held',
  'a common word among those that are held': () => `${searched('zoe')}&state=held`,
  'a step’s page': (jobs) => `/jobs/${numberOf(jobs / 2)}/steps/last-word`,
};

const searched = (words: string) => `/?${new URLSearchParams({ q: words })}`;

/** How long each page takes in shops of these sizes, ms, by page and then by size. Sizes take turns, so that what else the machine does falls on all. */
export async function timesOfPages(
  sizes: readonly { readonly jobs: number; readonly entries: number }[],
  runs = 40,
): Promise<Readonly<Record<string, readonly number[]>>> {
  const shops = [];
  for (const { jobs, entries } of sizes)
    shops.push({ jobs, ...(await opened(await keptShop(jobs, entries))) });
  const times: Record<string, readonly number[]> = {};
  for (const [name, address] of Object.entries(listedPages)) {
    times[name] = await timedInTurns(
      shops.map(({ jobs, browser }) => async () => {
        const { statusCode } = await browser.get(address(jobs));
        if (statusCode !== 200) throw new Error(`${address(jobs)} answers ${statusCode}`);
      }),
      { runs, warm: 5 },
    );
  }
  for (const { close } of shops) await close();
  return times;
}

async function opened(dir: string): Promise<{ browser: Browser; close(): Promise<void> }> {
  const clock = () => new Date();
  const store = openStore({ dir, clock });
  const app = await buildApp({
    config: { logLevel: 'silent' },
    store,
    clock,
    requestsPerMinute: Number.MAX_SAFE_INTEGER,
  });
  const browser = signedIn({ app, store } as ShopUnderTest, 'ines');
  return {
    browser,
    async close() {
      await app.close();
      store.close();
    },
  };
}
