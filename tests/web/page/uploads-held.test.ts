import { once } from 'node:events';
import { connect } from 'node:net';
import { fastify } from 'fastify';
import { expect, onTestFinished, test } from 'vitest';
import { takeUploads } from '../../../src/web/page/uploads.js';

const megabyte = 1024 * 1024;

/** An app that answers how many bytes it kept of each file, or why none; `wait` comes before each answer. */
async function keeper(wait: () => Promise<unknown> = async () => undefined) {
  const app = fastify({ bodyLimit: 200 * megabyte });
  onTestFinished(() => app.close());
  await takeUploads(app);
  app.post('/', async ({ uploads = [] }) => {
    await wait();
    return uploads.map(({ bytes, refused }) => refused ?? bytes.length);
  });
  return app;
}

const head = 'multipart/form-data; boundary=x';
const body = (files: number, size: number) =>
  Buffer.concat([
    ...Array.from({ length: files }, (_, k) => [
      Buffer.from(`--x\r\nContent-Disposition: form-data; name="f${k}"; filename="a.jpg"\r\n\r\n`),
      Buffer.alloc(size, 7),
      Buffer.from('\r\n'),
    ]).flat(),
    Buffer.from('--x--\r\n'),
  ]);

async function sent(app: Awaited<ReturnType<typeof keeper>>, files: number, size: number) {
  const payload = body(files, size);
  const reply = await app.inject({ method: 'POST', url: '/', headers: { 'content-type': head }, payload });
  return reply.json() as (number | string)[];
}

test('a form holds 60 MB and lets go of them with its answer, however many came before it', async () => {
  const app = await keeper();
  const size = 14 * megabyte;
  for (let k = 0; k < 4; k++) expect(await sent(app, 3, size)).toEqual([size, size, size]);
  expect(await sent(app, 5, size)).toEqual([
    ...[size, size, size, size],
    expect.stringMatching(/too much with the others/),
  ]);
});

test('a form that breaks off lets go as well', async () => {
  const app = await keeper();
  const { port } = new URL(await app.listen({ port: 0, host: '127.0.0.1' }));
  const half = body(3, 14 * megabyte);
  for (let k = 0; k < 4; k++) {
    const socket = connect(Number(port), '127.0.0.1');
    const lines = ['POST / HTTP/1.1', 'Host: a', `Content-Type: ${head}`, `Content-Length: ${half.length}`];
    socket.write(`${lines.join('\r\n')}\r\n\r\n`);
    // All but the last few bytes: it is read as far as it came.
    await new Promise<void>((done) => socket.write(half.subarray(0, -9), () => done()));
    await new Promise((done) => setTimeout(done, 200));
    socket.destroy();
    await once(socket, 'close');
  }
  await new Promise((done) => setTimeout(done, 200));
  expect(await sent(app, 1, 14 * megabyte)).toEqual([14 * megabyte]);
});

test('forms that are under way together hold 120 MB, and what is beyond is told to come again', async () => {
  let waiting = 0;
  const app = await keeper(async () => {
    waiting += 1;
    while (waiting < 3) await new Promise((done) => setTimeout(done, 20));
  });
  const kept = (await Promise.all([1, 2, 3].map(() => sent(app, 3, 14 * megabyte)))).flat();
  const refused = kept.filter((one) => typeof one === 'string');
  expect(refused.length).toBeGreaterThan(0);
  for (const why of refused) expect(why).toMatch(/came while many others were sent: wait a minute/);
  expect(kept.length - refused.length).toBeLessThanOrEqual(8);
});
