import { writeFileSync } from 'node:fs';
import autocannon from 'autocannon';
import { type Measure, median } from './row.js';
import { serveDemo } from './served/shop.js';
import { fromAnywhere, inFolder, serveBytes } from './served/start.js';

const load = { connections: 10, duration: 4 } as const;
/** Both are asked in turns, so that what else the machine does falls on both alike. */
const rounds = 5;

/** One step of a job with 300 entries, signed in, over connections that are kept; beside the same bytes from Fastify alone. */
export const stepPage: Measure = () =>
  inFolder(async (dir) => {
    const shop = await serveDemo(`${dir}/shop`, { jobs: 1, entries: 300 });
    const { address, cookie, jobs } = shop;
    const url = `${address}/jobs/${jobs[0]}/steps/land.bench`;
    const page = await fetch(url, { headers: { cookie } });
    writeFileSync(`${dir}/page.html`, await page.text());
    if (page.status !== 200) throw new Error(`the step's page answers ${page.status}`);
    const bytes = await serveBytes(`${dir}/page.html`);
    const ask = {
      requests: [
        {
          setupRequest: (asked: autocannon.Request) => ({ ...asked, headers: { cookie, ...fromAnywhere() } }),
        },
      ],
    };
    await autocannon({ url, ...ask, ...load });
    const [whole, bare]: [autocannon.Result[], autocannon.Result[]] = [[], []];
    for (let round = 0; round < rounds; round += 1) {
      whole.push(await autocannon({ url, ...ask, ...load }));
      bare.push(await autocannon({ url: bytes.address, ...load }));
    }
    await shop.stop();
    await bytes.stop();
    if ([...whole, ...bare].some(({ non2xx, errors }) => non2xx + errors > 0))
      throw new Error('not every page was answered');
    const rate = (runs: readonly autocannon.Result[]) => median(runs.map(({ requests }) => requests.average));
    const p99 = (runs: readonly autocannon.Result[]) => median(runs.map(({ latency }) => latency.p99));
    return [
      {
        what: 'a step page of a job with 300 entries',
        beside: 'Fastify sending the same bytes',
        figures: `${rate(whole)} and ${rate(bare)} a second`,
        ratio: rate(whole) / rate(bare),
        mark: { atLeast: 0.25 },
      },
      {
        what: 'its slowest of a hundred (p99)',
        beside: 'the same',
        figures: `${p99(whole)} ms and ${p99(bare)} ms`,
        ratio: p99(whole) / p99(bare),
        mark: { atMost: 4 },
      },
    ];
  });
