import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import autocannon from 'autocannon';
import type { Measure } from './row.js';
import type { ServedShop } from './served/shop.js';
import { inFolder, start } from './served/start.js';

const views = 10_000;
const restAtMostMb = 150;

/** What the compiled server holds at rest, and whether 10,000 page views leave more behind than a thousand did. */
export const memory: Measure = () =>
  inFolder(async (dir) => {
    const atRest = await servedAtRest(`${dir}/demo`);
    const shop = await start<ServedShop>('shop', `${dir}/shop`, '1', '300');
    const { address, cookie, jobs } = shop.told;
    const url = `${address}/jobs/${jobs[0]}`;
    const look = (amount: number) =>
      autocannon({
        url,
        amount,
        connections: 10,
        headers: { cookie },
        requests: ['', '/steps/land.bench', '/readings', '/sheet', '/logbook', '/circuit'].map((page) => ({
          path: `/jobs/${jobs[0]}${page}`,
        })),
      });
    await look(views / 2);
    const before = rssMb(shop.pid);
    const seen = await look(views);
    if (seen.non2xx + seen.errors > 0) throw new Error('not every page was answered');
    const after = rssMb(shop.pid);
    await shop.stop();
    return [
      {
        what: 'memory at rest, the demonstration’s folder served',
        beside: `${restAtMostMb} MB`,
        figures: `${atRest.toFixed(0)} MB`,
        ratio: atRest / restAtMostMb,
        mark: { atMost: 1 },
      },
      {
        what: 'memory after 10,000 page views',
        beside: 'after the 5,000 before them',
        figures: `${after.toFixed(0)} and ${before.toFixed(0)} MB`,
        ratio: after / before,
        mark: { atMost: 1.1 },
      },
    ];
  });

/** Resident memory of a process, in MB. */
function rssMb(pid: number): number {
  return Number(/VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]) / 1024;
}

/** The compiled server on the demonstration's folder, some seconds after it was started. */
async function servedAtRest(dir: string): Promise<number> {
  const demo = await said('Data folder', 'demo', '--data', dir, '--port', '0');
  demo.kill('SIGTERM');
  await once(demo, 'exit');
  const server = await said('Inlet Logbook', 'serve', '--data', dir, '--port', '0');
  await new Promise((resolve) => setTimeout(resolve, 5000));
  const held = rssMb(server.pid as number);
  server.kill('SIGTERM');
  await once(server, 'exit');
  return held;
}

/** Starts a command of the compiled program and waits for the line that begins so. */
async function said(line: string, ...args: readonly string[]): Promise<ChildProcess> {
  const child = spawn('node', ['dist/main.js', ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  for await (const text of createInterface({ input: child.stdout })) if (text.startsWith(line)) break;
  return child;
}
