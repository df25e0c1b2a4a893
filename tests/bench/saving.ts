import autocannon, { type Request } from 'autocannon';
import { openDatabase } from '../../src/store/database.js';
import { formOn } from '../web/read-form.js';
import { type Measure, median } from './row.js';
import { serveDemo } from './served/shop.js';
import { fromAnywhere, inFolder } from './served/start.js';

/** Each of the three is measured so often, in turns, so that what else the machine does falls on all alike. */
const rounds = 5;
const people = 20;
/** How often a job is saved to in a round: it has some 130 entries before and at most 330 when all is over, as jobs have. */
const times = { one: 100, eachOfTwenty: 40 };
/** One person goes through so many jobs in a round. */
const jobsOfOne = 5;
/** The rows alone go on for so long. */
const seconds = 2;
/** So often each of twenty saves ahead, to jobs of their own: the shop has been up since the morning when people save. */
const warmEach = 300;
/** A reading that may be taken again and again; each time it is an entry, sealed, judged, and answered with the page that follows. */
const reading = 'voltage.hot-neutral.bench';

/** Saving a reading through the whole product, by one person and by twenty at once, beside one row by better-sqlite3 alone. */
export const saving: Measure = () =>
  inFolder(async (dir) => {
    const shop = await serveDemo(`${dir}/shop`, { jobs: 2 * people + rounds * jobsOfOne }, 'info');
    const each = shop.jobs.map((job) => [job]);
    const [warm, twentys] = [each.slice(0, people), each.slice(people, 2 * people)];
    const ones = shop.jobs.slice(2 * people);
    const bare = bareInserts(`${dir}/bare.db`);
    // At its start the server looks through the whole store beside its work.
    await shop.said('everything agrees');
    await savesASecond(shop, warm, warmEach);
    bare.commitsASecond();
    const [one, twenty, alone]: [number[], number[], number[]] = [[], [], []];
    for (let round = 0; round < rounds; round += 1) {
      const own = ones.slice(round * jobsOfOne, (round + 1) * jobsOfOne);
      one.push(await savesASecond(shop, [own], times.one));
      twenty.push(await savesASecond(shop, twentys, times.eachOfTwenty));
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

/**
 * Each person goes through jobs of their own and saves to each so many times, again as soon as the last answer is there. The forms are made
 * before the first is sent and go out plainly, since the sender has to share two cores with the shop.
 */
async function savesASecond(
  { address, cookie }: { readonly address: string; readonly cookie: string },
  jobsOfPeople: readonly (readonly string[])[],
  timesEach: number,
): Promise<number> {
  const formsOfPeople = await Promise.all(
    jobsOfPeople.map(async (jobs) =>
      (await Promise.all(jobs.map((job) => formsFor(address, cookie, job, timesEach)))).flat(),
    ),
  );
  const answers: number[] = [];
  const amount = jobsOfPeople.flat().length * timesEach;
  await autocannon({
    url: address,
    connections: jobsOfPeople.length,
    amount,
    setupClient: (client) => {
      client.setRequests(formsOfPeople.pop() ?? []);
      client.on('response', (status) => {
        if (status !== 303) throw new Error(`saving a reading answers ${status}`);
        answers.push(performance.now());
      });
    },
  });
  const [first, last] = [answers[0], answers.at(-1)];
  if (answers.length !== amount || first === undefined || last === undefined)
    throw new Error(`${answers.length} of ${amount} readings were answered`);
  return (amount - 1) / ((last - first) / 1000);
}

/** The same reading so many times, as one person's device sends it. */
async function formsFor(address: string, cookie: string, job: string, times: number): Promise<Request[]> {
  const path = `/jobs/${job}/readings/${reading}`;
  const page = await (await fetch(`${address}${path}`, { headers: { cookie } })).text();
  const fields = formOn(page, path) as Readonly<Record<string, string>>;
  return Array.from({ length: times }, (_, k) => {
    // What a page that was loaded anew would carry: nobody else writes here, and a reading that passes is one entry.
    const _seen = String(Number.parseInt(fields._seen ?? '', 10) + k);
    const form = new URLSearchParams({
      ...fields,
      _key: `bench-${job}-${_seen}`,
      _seen,
      volts: String(119 + (k % 20) / 10),
    });
    const headers = { cookie, 'content-type': 'application/x-www-form-urlencoded', ...fromAnywhere() };
    return { method: 'POST', path, headers, body: form.toString() };
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
