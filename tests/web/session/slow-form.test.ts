import { once } from 'node:events';
import { connect } from 'node:net';
import { expect, test } from 'vitest';
import { playedShop } from '../played-shop.js';
import { formOn } from '../read-form.js';
import { addPerson, passphrase, signedIn } from '../shop-under-test.js';

/** A reading's form of Per's, sent in two halves; `between` happens while the second is on its way. */
async function sentInHalves(between: (shop: Awaited<ReturnType<typeof playedShop>>) => Promise<unknown>) {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  addPerson(shop, 'per', 'Per Lindqvist', ['fitter']);
  const { port } = new URL(await shop.app.listen({ port: 0, host: '127.0.0.1' }));
  const per = signedIn(shop, 'per');
  const url = `/jobs/${shop.number}/readings/ground-path.bench`;
  const form = { ...formOn((await per.get(url)).body, url), ohms: '0.05' };
  const body = new URLSearchParams(form).toString();
  const before = shop.entries().length;
  const socket = connect(Number(port), '127.0.0.1');
  const came = once(socket, 'data');
  const head = [
    `POST ${url} HTTP/1.1`,
    ...[`Host: 127.0.0.1:${port}`, `Cookie: ${per.cookie}`, `Content-Length: ${body.length}`],
    ...['Content-Type: application/x-www-form-urlencoded', 'Connection: close'],
  ];
  socket.write(`${head.join('\r\n')}\r\n\r\n${body.slice(0, 30)}`);
  await new Promise((done) => setTimeout(done, 100));
  await between(shop);
  socket.write(body.slice(30));
  const [first] = (await came) as [Buffer];
  socket.destroy();
  return { status: Number(first.toString().split(' ')[1]), written: shop.entries().length - before };
}

const person = { name: 'Per Lindqvist', roles: ['fitter'], active: 'yes', passphrase };

test('a form that comes slowly is written where nothing happens meanwhile', async () => {
  expect(await sentInHalves(async () => undefined)).toEqual({ status: 303, written: 1 });
});

test.each([
  ['their person is retired', { ...person, active: 'no' }],
  ['they are given another role', { ...person, roles: ['keeper'] }],
])('nothing of a form is written where, while it is on its way, %s', async (_what, change) => {
  const sent = await sentInHalves((shop) => signedIn(shop, 'ines').post('/people/per', change));
  expect(sent).toEqual({ status: 401, written: 0 });
});

test('nor where its session is ended, as after a lost phone', async () => {
  const sent = await sentInHalves((shop) =>
    signedIn(shop, 'ines').post('/people/per/sessions/end', {}, { page: '/people/per' }),
  );
  expect(sent).toEqual({ status: 401, written: 0 });
});
