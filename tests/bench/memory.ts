import autocannon from 'autocannon';
import { keptShop, signedInTo } from './kept-shop.js';
import type { Measure, Row } from './row.js';
import { serveDemo } from './served/shop.js';
import { fromAnywhere, inFolder, memoryOf, type Served, serve } from './served/start.js';
import { numberOf } from './shop-of-many-jobs.js';

const views = 10_000;
const atMostMb = 150;
const many = 100_000;

/** What the server holds at rest, and whether 10,000 page views leave more behind: a shop with one long job, and one of 100,000 jobs. */
export const memory =
  (entriesEach: number): Measure =>
  () =>
    inFolder(async (dir) => {
      const shop = await serveDemo(`${dir}/shop`, { jobs: 1, entries: 300 });
      const long = ['', '/steps/land.bench', '/readings', '/sheet', '/logbook', '/circuit'].map(
        (page) => `/jobs/${shop.jobs[0]}${page}`,
      );
      const few = await held('a job of 300 entries', shop, shop.cookie, long);
      const kept = await keptShop(many, entriesEach);
      const cookie = signedInTo(kept);
      const server = await serve(kept, 'info');
      await server.said('everything agrees');
      const lists = Array.from({ length: 1000 }, (_, k) => `/jobs/${numberOf(1 + k * 97)}/steps/last-word`);
      const all = ['/', ...lists, '/?q=zoe'];
      return [...few, ...(await held(`${many.toLocaleString('en')} jobs`, server, cookie, all))];
    });

/** Stops the server behind it. */
async function held(what: string, server: Served, cookie: string, pages: readonly string[]): Promise<Row[]> {
  const requests = pages.map((path) => ({
    path,
    setupRequest: (asked: object) => ({ ...asked, headers: { cookie, ...fromAnywhere() } }),
  }));
  const look = async (amount: number) => {
    const seen = await autocannon({ url: server.address, amount, connections: 10, requests });
    if (seen.non2xx + seen.errors > 0) throw new Error('not every page was answered');
    return memoryOf(server.pid).nowMb;
  };
  const rest = memoryOf(server.pid);
  const before = await look(views / 2);
  const after = await look(views);
  await server.stop();
  const most = { beside: `${atMostMb} MB`, mark: { atMost: 1 } };
  return [
    {
      ...most,
      what: `memory at rest, ${what}`,
      figures: `${rest.nowMb.toFixed(0)} MB, ${rest.mostMb.toFixed(0)} MB at most until then`,
      ratio: rest.nowMb / atMostMb,
    },
    {
      ...most,
      what: `memory after ${(views * 1.5).toLocaleString('en')} page views, ${what}`,
      figures: `${after.toFixed(0)} MB`,
      ratio: after / atMostMb,
    },
    {
      what: `memory after 10,000 page views, ${what}`,
      beside: 'after the 5,000 before them',
      figures: `${after.toFixed(0)} and ${before.toFixed(0)} MB`,
      ratio: after / before,
      mark: { atMost: 1.1 },
    },
  ];
}
