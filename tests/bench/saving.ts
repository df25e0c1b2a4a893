import { openDatabase } from '../../src/store/database.js';
import { formOn } from '../web/read-form.js';
import type { Measure } from './row.js';
import { serveDemo } from './served/shop.js';
import { fromAnywhere, inFolder } from './served/start.js';

const seconds = 6;
/** So long the shop is saved in ahead: it has been up since the morning when people save. */
const warmSeconds = 3;
/** A reading that may be taken again and again; each time it is an entry, sealed, judged, and answered with the page that follows. */
const reading = 'voltage.hot-neutral.bench';

/** Saving a reading through the whole product, by one person and by twenty at once, beside one row by better-sqlite3 alone. */
export const saving: Measure = () =>
  inFolder(async (dir) => {
    const shop = await serveDemo(`${dir}/shop`, { jobs: 20 }, 'info');
    const { jobs } = shop;
    // At its start the server looks through the whole store beside its work.
    await shop.said('everything agrees');
    await savesASecond(shop, jobs, warmSeconds);
    const one = await savesASecond(shop, jobs.slice(0, 1), seconds);
    const twenty = await savesASecond(shop, jobs, seconds);
    await shop.stop();
    const bare = commitsASecond(`${dir}/bare.db`);
    const row = (what: string, saves: number, atLeast: number) => ({
      what,
      beside: 'better-sqlite3 inserting one row in the same mode',
      figures: `${Math.round(saves)} and ${Math.round(bare)} a second`,
      ratio: saves / bare,
      mark: { atLeast },
    });
    return [row('saving a reading, one person', one, 0.15), row('20 people saving at once', twenty, 0.25)];
  });

/** One person to a job, each saving again as soon as the last answer is there. */
async function savesASecond(
  { address, cookie }: { readonly address: string; readonly cookie: string },
  jobs: readonly string[],
  forSeconds: number,
): Promise<number> {
  let saved = 0;
  const until = performance.now() + forSeconds * 1000;
  const from = performance.now();
  await Promise.all(
    jobs.map(async (job) => {
      const url = `${address}/jobs/${job}/readings/${reading}`;
      const page = await (await fetch(url, { headers: { cookie } })).text();
      const fields = formOn(page, `/jobs/${job}/readings/${reading}`);
      for (let k = 0; performance.now() < until; k += 1) {
        const _key = `bench-${job}-${from.toFixed(0)}-${k}`;
        // What a page that was loaded anew would carry: nobody else writes here, and a reading that passes is one entry.
        const _seen = String(Number(fields._seen) + k);
        const body = new URLSearchParams({ ...fields, _key, _seen, volts: String(119 + (k % 20) / 10) });
        const headers = { cookie, ...fromAnywhere() };
        const answer = await fetch(url, { method: 'POST', headers, body, redirect: 'manual' });
        if (answer.status !== 303) throw new Error(`saving a reading answers ${answer.status}`);
        await answer.arrayBuffer();
        saved += 1;
      }
    }),
  );
  return saved / ((performance.now() - from) / 1000);
}

function commitsASecond(file: string): number {
  const db = openDatabase(file);
  db.exec('CREATE TABLE rows (id INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT');
  const insert = db.prepare('INSERT INTO rows (body) VALUES (?)');
  const body = 'x'.repeat(600);
  const from = performance.now();
  let commits = 0;
  for (; performance.now() - from < seconds * 1000; commits += 1) insert.run(body);
  const rate = commits / ((performance.now() - from) / 1000);
  db.close();
  return rate;
}
