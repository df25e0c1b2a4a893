import { setTimeout as pause } from 'node:timers/promises';
import { formOn } from '../web/read-form.js';
import type { Measure } from './row.js';
import { takenPhotos } from './served/pictures.js';
import { type DemoShop, serveDemo } from './served/shop.js';
import { fromAnywhere, inFolder, type Served } from './served/start.js';

const atMostMs = 50;
const atMostMb = 400;
const entries = 300;
const photoCount = 20;
const records = 5;
const pages = ['', '/steps/land.bench', '/readings', '/sheet', '/logbook', '/circuit', '/record'];

/** How long the server is held up while it issues the records of a job of 300 entries and 20 photos, and others ask for pages, beside those pages alone. */
export const issuing: Measure = () =>
  inFolder(async (dir) => {
    const photos = await takenPhotos(photoCount);
    const shop = await serveDemo(`${dir}/shop`, { jobs: 2, entries, photos });
    const [job = '', other = ''] = shop.jobs;
    await lookAround(shop, other, issued(shop, job));
    const alone = await shop.watched(() => lookAround(shop, other, pause(3000)));
    const while_ = await shop.watched(async () => {
      for (let k = 1; k <= records; k += 1) await lookAround(shop, other, issued(shop, job));
    });
    await shop.stop();
    return [
      {
        what: `the event loop’s delay (p99) while records with ${photoCount} photos are issued and pages asked`,
        beside: `${atMostMs} ms`,
        figures: `${while_.p99Ms.toFixed(1)} ms, ${while_.mostMs.toFixed(0)} ms at most; ${alone.p99Ms.toFixed(1)} and ${alone.mostMs.toFixed(0)} ms with the pages alone`,
        ratio: while_.p99Ms / atMostMs,
        mark: { atMost: 1 },
      },
      {
        what: 'the most that the server held meanwhile',
        beside: `${atMostMb} MB`,
        figures: `${while_.mostMb.toFixed(0)} MB; ${alone.mostMb.toFixed(0)} MB with the pages alone`,
        ratio: while_.mostMb / atMostMb,
        mark: { atMost: 1 },
      },
    ];
  });

/** Opens one page of a job after the other, as a few people would, until `work` is done. */
export async function lookAround(
  { address, looker }: Served & DemoShop,
  job: string,
  work: Promise<unknown>,
): Promise<void> {
  let going = true;
  const ended = work.finally(() => {
    going = false;
  });
  for (let k = 0; going; k += 1) {
    const url = `${address}/jobs/${job}${pages[k % pages.length]}`;
    const page = await fetch(url, { headers: { cookie: looker, ...fromAnywhere() } });
    if (page.status !== 200) throw new Error(`${url} answers ${page.status}`);
    await page.arrayBuffer();
    await pause(10);
  }
  await ended;
}

/** Issues the next revision of a job's record through its page. */
async function issued(shop: Served & DemoShop, job: string): Promise<void> {
  const url = `${shop.address}/jobs/${job}/record`;
  const page = await (await fetch(url, { headers: { cookie: shop.cookie } })).text();
  const body = new URLSearchParams({
    ...formOn(page, `/jobs/${job}/record`),
    'signature.name': shop.person.name,
    'signature.strokes': '[[[20,100],[300,60]]]',
    passphrase: shop.person.passphrase,
    changed: 'Measured once more.',
  });
  const headers = { cookie: shop.cookie };
  const answer = await fetch(url, { method: 'POST', headers, body, redirect: 'manual' });
  if (answer.status !== 303) throw new Error(`issuing answers ${answer.status}: ${await answer.text()}`);
  const given = answer.headers.getSetCookie().find((c) => c.startsWith('inlet='));
  shop.cookie = (given ?? shop.cookie).split(';')[0] as string;
}
