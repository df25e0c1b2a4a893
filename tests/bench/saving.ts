import { Agent, request } from 'node:http';
import { openDatabase } from '../../src/store/database.js';
import { formOn } from '../web/read-form.js';
import { type Measure, median } from './row.js';
import { serveDemo } from './served/shop.js';
import { fromAnywhere, inFolder } from './served/start.js';

/** Each of the three is measured so often, in turns, so that what else the machine does falls on all alike. */
const rounds = 5;
const seconds = 2;
/** So long the shop is saved in ahead: it has been up since the morning when people save. */
const warmSeconds = 8;
/** A reading that may be taken again and again; each time it is an entry, sealed, judged, and answered with the page that follows. */
const reading = 'voltage.hot-neutral.bench';

/** Saving a reading through the whole product, by one person and by twenty at once, beside one row by better-sqlite3 alone. */
export const saving: Measure = () =>
  inFolder(async (dir) => {
    const shop = await serveDemo(`${dir}/shop`, { jobs: 20 }, 'info');
    const { jobs } = shop;
    const bare = bareInserts(`${dir}/bare.db`);
    // At its start the server looks through the whole store beside its work.
    await shop.said('everything agrees');
    await savesASecond(shop, jobs, warmSeconds);
    bare.commitsASecond();
    const [one, twenty, alone]: [number[], number[], number[]] = [[], [], []];
    for (let round = 0; round < rounds; round += 1) {
      one.push(await savesASecond(shop, jobs.slice(round, round + 1), seconds));
      twenty.push(await savesASecond(shop, jobs, seconds));
      alone.push(bare.commitsASecond());
    }
    await shop.stop();
    bare.close();
    const row = (what: string, saves: readonly number[], atLeast: number) => ({
      what,
      beside: 'better-sqlite3 inserting one row in the same mode',
      figures: `${Math.round(median(saves))} and ${Math.round(median(alone))} a second`,
      ratio: median(saves.map((rate, k) => rate / (alone[k] ?? 0))),
      mark: { atLeast },
    });
    return [row('saving a reading, one person', one, 0.15), row('20 people saving at once', twenty, 0.25)];
  });

interface Person {
  readonly job: string;
  readonly url: string;
  readonly fields: Readonly<Record<string, string>>;
}

/** One person to a job, each saving again as soon as the last answer is there. */
async function savesASecond(
  { address, cookie }: { readonly address: string; readonly cookie: string },
  jobs: readonly string[],
  forSeconds: number,
): Promise<number> {
  const people = await Promise.all(
    jobs.map(async (job): Promise<Person> => {
      const path = `/jobs/${job}/readings/${reading}`;
      const page = await (await fetch(`${address}${path}`, { headers: { cookie } })).text();
      return { job, url: `${address}${path}`, fields: formOn(page, path) as Person['fields'] };
    }),
  );
  const agent = new Agent({ keepAlive: true });
  let saved = 0;
  const from = performance.now();
  const until = from + forSeconds * 1000;
  await Promise.all(
    people.map(async ({ job, url, fields }) => {
      for (let k = 0; performance.now() < until; k += 1) {
        // What a page that was loaded anew would carry: nobody else writes here, and a reading that passes is one entry.
        const _seen = String(Number(fields._seen) + k);
        const _key = `bench-${job}-${from.toFixed(0)}-${k}`;
        const form = new URLSearchParams({ ...fields, _key, _seen, volts: String(119 + (k % 20) / 10) });
        const status = await statusOf(url, agent, cookie, form.toString());
        if (status !== 303) throw new Error(`saving a reading answers ${status}`);
        saved += 1;
      }
    }),
  );
  agent.destroy();
  return saved / ((performance.now() - from) / 1000);
}

/** Sends a form over a connection that is kept; plainly, since the sender has to share two cores with the shop. */
function statusOf(url: string, agent: Agent, cookie: string, form: string): Promise<number | undefined> {
  const headers = {
    cookie,
    'content-type': 'application/x-www-form-urlencoded',
    'content-length': Buffer.byteLength(form),
    ...fromAnywhere(),
  };
  return new Promise((resolve, reject) => {
    const sent = request(url, { method: 'POST', agent, headers });
    sent.on('error', reject);
    sent.on('response', (answer) => {
      answer.resume();
      answer.on('end', () => resolve(answer.statusCode));
    });
    sent.end(form);
  });
}

/** One row after the other, each in a transaction of its own, by better-sqlite3 and nothing else. */
function bareInserts(file: string): { commitsASecond(): number; close(): void } {
  const db = openDatabase(file);
  db.exec('CREATE TABLE rows (id INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT');
  const insert = db.prepare('INSERT INTO rows (body) VALUES (?)');
  const body = 'x'.repeat(600);
  return {
    commitsASecond() {
      const from = performance.now();
      let commits = 0;
      for (; performance.now() - from < seconds * 1000; commits += 1) insert.run(body);
      return commits / ((performance.now() - from) / 1000);
    },
    close: () => void db.close(),
  };
}
