import { hostname } from 'node:os';
import Fastify from 'fastify';
import { expect, onTestFinished, test } from 'vitest';
import { opensHereOnly, ownAddress } from '../../../src/web/page/own-address.js';
import type { Services } from '../../../src/web/services.js';

/** What a link would begin with on a page that was opened under this Host. */
async function addressUnder(
  host: string,
  address?: string,
  trustsPeer?: (peer: string) => boolean,
): Promise<string | undefined> {
  const app = Fastify();
  onTestFinished(() => app.close());
  app.decorate('services', { config: { address, trustsPeer } } as unknown as Services);
  app.get('/', async (request) => ({ address: ownAddress(request) }));
  return (await app.inject({ url: '/', headers: { host } })).json().address;
}

test.each(['127.0.0.1:8080', 'localhost:8080', '[::1]:8080', `${hostname()}:8080`, `${hostname()}.local`])(
  'a page opened under %s makes a link that begins with it',
  async (host) => {
    expect(await addressUnder(host)).toBe(`http://${host}`);
  },
);

test.each(['elsewhere.example', 'elsewhere.example:8080', '192.0.2.77', 'localhost.elsewhere.example'])(
  'a Host that is none of this machine makes no link: "%s"',
  async (host) => {
    expect(await addressUnder(host)).toBeUndefined();
  },
);

test('the address that the server was started with comes before any Host', async () => {
  const given = 'https://van-shop.example:8443';
  expect(await addressUnder('elsewhere.example', given)).toBe(given);
  expect(await addressUnder('127.0.0.1', given)).toBe(given);
});

test('what a proxy asks for makes no link, though it be a name of this machine', async () => {
  const named = (peer: string) => peer === '127.0.0.1';
  expect(await addressUnder('127.0.0.1:8080', undefined, named)).toBeUndefined();
  expect(await addressUnder('127.0.0.1:8080', undefined, () => false)).toBe('http://127.0.0.1:8080');
  expect(await addressUnder('127.0.0.1:8080', 'https://van-shop.example', named)).toBe(
    'https://van-shop.example',
  );
});

test('an address of the loopback leads nobody else here', () => {
  for (const here of ['http://127.0.0.1:8080/o/x', 'http://localhost/o/x', 'http://[::1]:8080/o/x'])
    expect([here, opensHereOnly(here)]).toEqual([here, true]);
  for (const reached of ['https://192.0.2.10:8080/o/x', 'https://localhost.van-shop.example/o/x'])
    expect([reached, opensHereOnly(reached)]).toEqual([reached, false]);
});
