import { once } from 'node:events';
import { Agent, type IncomingMessage, request } from 'node:http';
import { connect, type Socket } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { buildApp } from '../../src/app.js';
import { type ConnectionLimits, usualLimits } from '../../src/web/connection-limits.js';
import { openedJob } from '../store/temp-store.js';
import { askOverSocket } from './over-socket.js';
import { formOn } from './read-form.js';
import { Browser, passphrase, type ShopUnderTest, shopUnderTest, signedIn } from './shop-under-test.js';

/** Far past what a test takes, so that only the limit that is set can be the one that holds. */
const never = {
  ...{ connectionTimeout: 600_000, headersTimeout: 600_000, requestTimeout: 600_000 },
  ...{ answerTimeout: 600_000, keepAliveTimeout: 600_000, checkEvery: 20 },
};

async function listening(limits: Partial<ConnectionLimits>) {
  const { store, clock } = await shopUnderTest();
  const app = await buildApp({
    config: { logLevel: 'silent' },
    ...{ store, clock, limits: { ...never, ...limits } },
  });
  onTestFinished(() => app.close());
  return { app, port: Number(new URL(await app.listen({ port: 0, host: '127.0.0.1' })).port) };
}

/** A connection over which `first` is sent and then one byte after the other for as long as anybody listens; what came back. */
async function dripping(port: number, first: string, drip: string): Promise<string> {
  const socket = connect(port, '127.0.0.1');
  const parts: Buffer[] = [];
  socket.on('data', (part) => parts.push(part));
  socket.on('error', () => undefined);
  await once(socket, 'connect');
  socket.write(first);
  const drops = setInterval(() => socket.write(drip), 10);
  await once(socket, 'close');
  clearInterval(drops);
  return Buffer.concat(parts).toString('latin1');
}

const head = 'POST /sign-in HTTP/1.1\r\nHost: x\r\n';
const form = `${head}Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 400000\r\n\r\n`;

test('a head that comes byte by byte is given up, while others are answered', async () => {
  const { port } = await listening({ headersTimeout: 300 });
  const slow = Array.from({ length: 20 }, () => dripping(port, head, 'X-A: b\r\n'));
  expect((await askOverSocket(port, { path: '/health' })).status).toBe(200);
  for (const said of await Promise.all(slow)) expect(said).toMatch(/^HTTP\/1\.1 408 /);
});

test('so is a form that comes byte by byte', async () => {
  const { port } = await listening({ requestTimeout: 300, headersTimeout: 300 });
  expect(await dripping(port, form, 'a')).toMatch(/^(HTTP\/1\.1 4\d\d |$)/);
});

test('a connection over which nothing comes is let go, and so is one on which nothing more is asked', async () => {
  const silent = await listening({ connectionTimeout: 200 });
  const quiet = connect(silent.port, '127.0.0.1');
  quiet.on('error', () => undefined).resume();
  await once(quiet, 'close');
  const idle = await listening({ keepAliveTimeout: 200 });
  const kept = connect(idle.port, '127.0.0.1');
  kept.on('error', () => undefined);
  kept.write('GET /health HTTP/1.1\r\nHost: x\r\n\r\n');
  const [answer] = (await once(kept, 'data')) as [Buffer];
  expect(answer.toString('latin1')).toMatch(/^HTTP\/1\.1 200 /);
  kept.resume();
  await once(kept, 'close');
});

test('whoever has sent a form whole is waited with for longer than a quiet connection', async () => {
  const { store, clock } = await shopUnderTest();
  let socket: Socket | undefined;
  const borne: (number | undefined)[] = [];
  const app = await buildApp({
    config: { logLevel: 'silent' },
    ...{ store, limits: { ...never, connectionTimeout: 60_000, answerTimeout: 90_000 } },
    clock: () => {
      borne.push(socket?.timeout);
      return clock();
    },
  });
  onTestFinished(() => app.close());
  const browser = new Browser(app);
  const { body: page } = await browser.get('/sign-in');
  const port = Number(new URL(await app.listen({ port: 0, host: '127.0.0.1' })).port);
  app.server.on('connection', (came: Socket) => {
    socket = came;
  });
  const headers = { cookie: browser.cookie, 'content-type': 'application/x-www-form-urlencoded' };
  const form = new URLSearchParams({ ...formOn(page, '/sign-in'), signIn: 'ines', passphrase });
  const answer = await askOverSocket(port, { method: 'POST', path: '/sign-in', headers, body: `${form}` });
  expect(answer.status).toBe(303);
  expect(borne).toContain(90_000);
});

test('a form that nothing answers is told so after a time, and what comes too late for it is let go', async () => {
  const { store, clock } = await shopUnderTest();
  const app = await buildApp({
    config: { logLevel: 'silent' },
    ...{ store, clock, limits: { ...never, answerTimeout: 200 } },
  });
  onTestFinished(() => app.close());
  const job = openedJob(store);
  const browser = signedIn({ app, store, clock } as ShopUnderTest, 'ines');
  const path = `/jobs/${job}/rest`;
  const fields = {
    ...formOn((await browser.get(`/jobs/${job}`)).body, path),
    reason: 'It waits for a part.',
  };
  const { appendTogether } = store.logbook;
  let late: Promise<unknown> | undefined;
  store.logbook.appendTogether = (command) =>
    new Promise((resolve, reject) => {
      late = new Promise((done) => setTimeout(done, 400))
        .then(() => appendTogether(command).then(resolve, reject))
        .catch(reject);
    });
  const { port } = new URL(await app.listen({ port: 0, host: '127.0.0.1' }));
  const headers = { cookie: browser.cookie, 'content-type': 'application/x-www-form-urlencoded' };
  const asked = { method: 'POST', path, headers, body: `${new URLSearchParams(fields)}` };
  const answer = await askOverSocket(Number(port), asked);
  expect([answer.status, answer.body]).toEqual([500, expect.stringContaining('Something went wrong')]);
  await late;
  expect((await askOverSocket(Number(port), { path: '/health' })).status).toBe(200);
  // Sent once more, it was written once.
  store.logbook.appendTogether = appendTogether;
  const again = await askOverSocket(Number(port), asked);
  expect([again.status, store.logbook.entries(job).length]).toEqual([303, 2]);
});

test('more connections than are allowed are closed at once', async () => {
  const { app, port } = await listening({ maxConnections: 3 });
  const dropped = once(app.server, 'drop');
  const all: Socket[] = [];
  for (let k = 0; k < 4; k += 1) {
    const socket = connect(port, '127.0.0.1').on('error', () => undefined);
    await once(socket, 'connect');
    all.push(socket);
  }
  expect(await dropped).toHaveLength(1);
  for (const socket of all) socket.destroy();
});

test('one network takes up its share of them alone, which is free again when it lets go', async () => {
  const { port } = await listening({ fromOneNetwork: 2 });
  const from = async (localAddress: string) => {
    const socket = connect({ port, host: '127.0.0.1', localAddress }).on('error', () => undefined);
    await once(socket, 'connect');
    return socket;
  };
  const held = [await from('127.0.0.2'), await from('127.0.0.2')];
  await once(await from('127.0.0.2'), 'close');
  const other = await from('127.0.0.3');
  other.write('GET /health HTTP/1.1\r\nHost: x\r\n\r\n');
  expect(String(await once(other, 'data'))).toMatch(/^HTTP\/1\.1 200 /);
  held[0]?.destroy();
  await expect
    .poll(async () => {
      const next = await from('127.0.0.2');
      next.write('GET /health HTTP/1.1\r\nHost: x\r\n\r\n');
      const said = await Promise.race([once(next, 'data'), once(next, 'close')]);
      next.destroy();
      return String(said);
    })
    .toMatch(/^HTTP\/1\.1 200 /);
  for (const socket of [...held, other]) socket.destroy();
});

test('but the proxy that is named takes as many as there may be', async () => {
  const { store, clock } = await shopUnderTest();
  const app = await buildApp({
    config: { logLevel: 'silent', trustsPeer: (address) => address === '127.0.0.1' },
    ...{ store, clock, limits: { ...never, fromOneNetwork: 1 } },
  });
  onTestFinished(() => app.close());
  const { port } = new URL(await app.listen({ port: 0, host: '127.0.0.1' }));
  const sockets = [1, 2, 3].map(() => connect(Number(port), '127.0.0.1'));
  const last = sockets.at(-1) as Socket;
  last.write('GET /health HTTP/1.1\r\nHost: x\r\n\r\n');
  expect(String(await once(last, 'data'))).toMatch(/^HTTP\/1\.1 200 /);
  for (const socket of sockets) socket.destroy();
});

test('every limit that a server may have is set, and none is without end', async () => {
  const { store, clock } = await shopUnderTest();
  const app = await buildApp({ config: { logLevel: 'silent' }, store, clock });
  onTestFinished(() => app.close());
  const { server, initialConfig } = app;
  expect(server).toMatchObject({
    headersTimeout: usualLimits.headersTimeout,
    requestTimeout: usualLimits.requestTimeout,
    keepAliveTimeout: usualLimits.keepAliveTimeout,
    timeout: usualLimits.connectionTimeout,
    maxConnections: usualLimits.maxConnections,
  });
  expect(initialConfig).toMatchObject({
    bodyLimit: 512 * 1024,
    routerOptions: { maxParamLength: 120 },
  });
  for (const [name, value] of Object.entries(usualLimits)) expect([name, value > 0]).toEqual([name, true]);
});

test('whoever is answered while the server ends is answered whole, and their connection is not waited for', async () => {
  const { app, port } = await listening({});
  const agent = new Agent({ keepAlive: true });
  onTestFinished(() => agent.destroy());
  const headers = { 'content-type': 'application/x-www-form-urlencoded', 'content-length': '3' };
  const sent = request({ host: '127.0.0.1', port, agent, method: 'POST', path: '/sign-in', headers });
  sent.write('a=');
  const [connection] = (await once(app.server, 'request')) as [IncomingMessage];
  const closed = app.close();
  sent.end('b');
  const [reply] = (await once(sent, 'response')) as [IncomingMessage];
  expect(Buffer.concat(await reply.toArray()).toString()).toMatch(/<\/html>\s*$/);
  expect(connection.complete).toBe(true);
  await closed;
}, 10_000);
