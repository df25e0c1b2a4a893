import { type ChildProcess, spawn } from 'node:child_process';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, onTestFinished, test } from 'vitest';
import { chainFault } from '../../src/logbook/chain.js';
import { openStore } from '../../src/store/open-store.js';
import { makeShop } from '../../src/web/set-up-page.js';
import { described, ines, made, standingClock, tempFolder } from '../store/temp-store.js';
import { tokensOf } from '../web/shop-under-test.js';

const kills = 12;
const port = 18_231;
const site = `http://127.0.0.1:${port}`;
const root = new URL('../..', import.meta.url).pathname;
const passphrase = 'spindle-lantern-otter-quarry';

test('a server that is killed while entries are being made loses none that was answered with success', async () => {
  const dir = tempFolder();
  const job = await shopWithJob(dir);
  const answered = new Set<string>();
  for (let round = 0; round < kills; round++) {
    const server = await served(dir);
    const sessions = await Promise.all([signedIn(), signedIn()]);
    const killer = wait(150 + round * 37).then(() => server.kill('SIGKILL'));
    await Promise.all([
      ...sessions.map((cookie, k) => writeUntilKilled(cookie, job, `${round}-${k}`, answered)),
      killer,
    ]);
    await gone(server);
    const store = openStore({ dir, clock: () => new Date() });
    expect(store.broken).toBeUndefined();
    const kept = new Set(
      store.logbook.entries(job).map((e) => (e.kind === 'defect raised' ? e.body.what : '')),
    );
    expect([...answered].filter((text) => !kept.has(text))).toEqual([]);
    expect(chainFault(store.logbook.entries(job))).toBeUndefined();
    expect(store.db.pragma('integrity_check', { simple: true })).toBe('ok');
    store.close();
  }
  expect(answered.size).toBeGreaterThan(kills);
});

/** A shop with one job whose circuit is set, so that a defect may be raised in it by hand. */
async function shopWithJob(dir: string): Promise<string> {
  const clock = standingClock();
  const store = openStore({ dir, clock });
  const person = { name: ines.name, signIn: 'ines', roles: ['fitter', 'checker', 'keeper'] };
  const shop = { name: 'Thimble Lane Vanworks', place: '', units: 'metric' };
  made(await makeShop({ store, clock }, { shop, person, passphrase, id: ines.id }));
  const { readFileSync } = await import('node:fs');
  const { circuitSchema } = await import('../../src/circuit/circuit.js');
  const circuit = circuitSchema.parse(JSON.parse(readFileSync(`${root}seed-demo/circuit.json`, 'utf8')));
  const opened = store.jobs.open({
    by: ines,
    key: 'kill-nine-job',
    content: 'job',
    decide: () => ({
      ok: true,
      value: [described, { kind: 'circuit set', subject: 'job', body: { circuit, rules: '1', reason: '' } }],
    }),
  });
  store.close();
  return made(opened).number;
}

async function served(dir: string): Promise<ChildProcess> {
  const server = spawn(
    process.execPath,
    ['--import', 'tsx', 'src/main.ts', 'serve', '--data', dir, '--port', String(port)],
    {
      cwd: root,
      env: { ...process.env, INLET_LOG: 'error' },
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  onTestFinished(() => void server.kill('SIGKILL'));
  for (let tries = 0; tries < 200; tries++) {
    const up = await fetch(`${site}/health`).then(
      (r) => r.ok,
      () => false,
    );
    if (up) return server;
    await wait(100);
  }
  throw new Error('the server does not answer');
}

const gone = (server: ChildProcess) =>
  server.exitCode !== null || server.signalCode !== null
    ? Promise.resolve()
    : new Promise<void>((resolve) => server.once('exit', () => resolve()));

interface Cookie {
  readonly cookie: string;
}

async function signedIn(): Promise<Cookie> {
  const page = await fetch(`${site}/sign-in`);
  const cookie = cookieOf(page);
  const { _csrf } = tokensOf(await page.text());
  const reply = await fetch(`${site}/sign-in`, {
    method: 'POST',
    redirect: 'manual',
    headers: { cookie },
    body: new URLSearchParams({ _csrf, signIn: 'ines', passphrase }),
  });
  return { cookie: cookieOf(reply) };
}

const cookieOf = (reply: Response) => (reply.headers.get('set-cookie') ?? '').split(';')[0] as string;

/** Raises one defect after another; what was answered with a redirect was taken. */
async function writeUntilKilled(
  headers: Cookie,
  job: string,
  name: string,
  answered: Set<string>,
): Promise<void> {
  try {
    const address = `${site}/jobs/${job}/defects`;
    const { _csrf } = tokensOf(await (await fetch(address, { headers: { ...headers } })).text());
    for (let k = 0; ; k++) {
      const what = `defect ${name}-${k}`;
      const reply = await fetch(address, {
        method: 'POST',
        redirect: 'manual',
        headers: { ...headers },
        body: new URLSearchParams({ _csrf, _key: `kill-nine-${name}-${k}`, about: 'step:labels', what }),
      });
      if (reply.status === 303) answered.add(what);
      else throw new Error(`${reply.status} ${await reply.text()}`);
    }
  } catch (error) {
    // The connection breaks when the server is killed; anything else is a fault of this test.
    if (!(error instanceof TypeError)) throw error;
  }
}
