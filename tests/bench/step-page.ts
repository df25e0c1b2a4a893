import { writeFileSync } from 'node:fs';
import autocannon from 'autocannon';
import type { Measure } from './row.js';
import { serveDemo } from './served/shop.js';
import { fromAnywhere, inFolder, serveBytes } from './served/start.js';

const load = { connections: 10, duration: 8 } as const;

/** One step of a job with 300 entries, signed in, over connections that are kept; beside the same bytes from Fastify alone. */
export const stepPage: Measure = () =>
  inFolder(async (dir) => {
    const shop = await serveDemo(`${dir}/shop`, { jobs: 1, entries: 300 });
    const { address, cookie, jobs } = shop;
    const url = `${address}/jobs/${jobs[0]}/steps/land.bench`;
    const page = await fetch(url, { headers: { cookie } });
    writeFileSync(`${dir}/page.html`, await page.text());
    if (page.status !== 200) throw new Error(`the step's page answers ${page.status}`);
    const whole = await autocannon({
      url,
      requests: [{ setupRequest: (asked) => ({ ...asked, headers: { cookie, ...fromAnywhere() } }) }],
      ...load,
    });
    await shop.stop();
    const bytes = await serveBytes(`${dir}/page.html`);
    const bare = await autocannon({ url: bytes.address, ...load });
    await bytes.stop();
    if (whole.non2xx + whole.errors + bare.non2xx + bare.errors > 0)
      throw new Error('not every page was answered');
    return [
      {
        what: 'a step page of a job with 300 entries',
        beside: 'Fastify sending the same bytes',
        figures: `${whole.requests.average} and ${bare.requests.average} a second`,
        ratio: whole.requests.average / bare.requests.average,
        mark: { atLeast: 0.25 },
      },
      {
        what: 'its slowest of a hundred (p99)',
        beside: 'the same',
        figures: `${whole.latency.p99} ms and ${bare.latency.p99} ms`,
        ratio: whole.latency.p99 / bare.latency.p99,
        mark: { atMost: 4 },
      },
    ];
  });
