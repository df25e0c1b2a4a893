import { hostname } from 'node:os';
import Fastify from 'fastify';
import { expect, onTestFinished, test } from 'vitest';
import { ownAddress } from '../../src/web/own-address.js';
import type { Services } from '../../src/web/services.js';

/** What a link would begin with on a page that was opened under this Host. */
async function addressUnder(host: string, address?: string): Promise<string | undefined> {
  const app = Fastify();
  onTestFinished(() => app.close());
  const services = { config: { https: false, address } } as unknown as Services;
  app.get('/', async (request) => ({ address: ownAddress(request, services) }));
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
