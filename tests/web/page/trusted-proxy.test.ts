import { expect, onTestFinished, test } from 'vitest';
import { buildApp } from '../../../src/app.js';
import { readTrustedProxies } from '../../../src/trusted-proxy.js';
import { askOverSocket } from '../over-socket.js';
import { passphrase, shopUnderTest, tokensOf } from '../shop-under-test.js';

const proxy = '127.0.0.2';
const stranger = '127.0.0.3';

/** A shop that listens on this machine, where the named proxy is believed, and what it logs. */
async function behind(
  trusted: string | undefined,
  more: { address?: string; requestsPerMinute?: number } = {},
) {
  const { store, clock } = await shopUnderTest();
  const log: { ip?: string; req?: { ip: string } }[] = [];
  const { address, requestsPerMinute = 1000 } = more;
  const app = await buildApp({
    config: {
      logLevel: 'info',
      address,
      trustsPeer: trusted === undefined ? undefined : readTrustedProxies(trusted),
    },
    ...{ store, clock, requestsPerMinute, log: { write: (line) => void log.push(JSON.parse(line)) } },
  });
  onTestFinished(() => app.close());
  const port = Number(new URL(await app.listen({ port: 0, host: '127.0.0.1' })).port);
  const ips = () => log.flatMap((line) => (line.req === undefined ? [] : [line.req.ip]));
  return { port, ips };
}

const forwarded = {
  host: 'van-shop.example',
  'x-forwarded-for': '198.51.100.4, 203.0.113.9',
  'x-forwarded-proto': 'https',
};
const cookiesOf = (reply: { headers: { 'set-cookie'?: string[] | undefined } }) =>
  reply.headers['set-cookie'] ?? [];

test('a proxy that was named is believed: the pages are those of TLS, and who asked is who it says', async () => {
  const { port, ips } = await behind(proxy);
  const page = await askOverSocket(port, { from: proxy, path: '/sign-in', headers: forwarded });
  expect(page.headers['strict-transport-security']).toBe('max-age=31536000');
  const [session = ''] = cookiesOf(page);
  expect(session).toMatch(/^__Host-inlet=[^;]+; Path=\/; HttpOnly; Secure; SameSite=Lax$/);
  // Not the first address of the list: whoever asks the proxy writes that.
  expect(ips()).toEqual(['203.0.113.9']);
  const typed = { ...tokensOf(page.body), signIn: 'ines', passphrase };
  const signedIn = await askOverSocket(port, {
    ...{ from: proxy, method: 'POST', path: '/sign-in', body: new URLSearchParams(typed).toString() },
    headers: {
      ...forwarded,
      cookie: session.split(';')[0] as string,
      origin: 'https://van-shop.example',
      'content-type': 'application/x-www-form-urlencoded',
    },
  });
  expect([signedIn.status, signedIn.headers.location]).toEqual([303, '/']);
  expect(cookiesOf(signedIn).map((line) => line.replace(/=[^;]+/, ''))).toEqual([
    '__Host-inlet-device; Max-Age=34560000; Path=/; HttpOnly; Secure; SameSite=Lax',
    '__Host-inlet; Path=/; HttpOnly; Secure; SameSite=Lax',
  ]);
  const opened = cookiesOf(signedIn).map((line) => line.split(';')[0]);
  const jobs = await askOverSocket(port, {
    ...{ from: proxy, headers: { ...forwarded, cookie: opened.join('; ') } },
  });
  expect(jobs.status).toBe(200);
  // Under the name that a page without TLS gives, the same words open nothing.
  const plain = opened.join('; ').replaceAll('__Host-', '');
  expect((await askOverSocket(port, { from: proxy, headers: { ...forwarded, cookie: plain } })).status).toBe(
    303,
  );
});

test.each([
  ['a peer that was not named', proxy, stranger],
  ['anybody where no proxy was named', undefined, proxy],
])('%s is not believed', async (_who, trusted, from) => {
  const { port, ips } = await behind(trusted);
  const page = await askOverSocket(port, { from, path: '/sign-in', headers: forwarded });
  expect(page.headers['strict-transport-security']).toBeUndefined();
  expect(cookiesOf(page)[0]).toMatch(/^inlet=[^;]+; Path=\/; HttpOnly; SameSite=Lax$/);
  expect(ips()).toEqual([from]);
});

test('requests are counted by whom the named proxy names, and by the peer where nobody is named', async () => {
  const ask = (port: number, from: string, name: string) =>
    askOverSocket(port, { from, path: '/health', headers: { 'x-forwarded-for': name } });
  const named = await behind(proxy, { requestsPerMinute: 2 });
  const told = [];
  for (const name of ['203.0.113.1', '203.0.113.1', '203.0.113.1', '203.0.113.2'])
    told.push((await ask(named.port, proxy, name)).status);
  expect(told).toEqual([200, 200, 429, 200]);
  // A stranger who invents a sender for each request is one and the same.
  const invented = [];
  for (const k of [1, 2, 3]) invented.push((await ask(named.port, stranger, `192.0.2.${k}`)).status);
  expect(invented).toEqual([200, 200, 429]);
  // So is whatever a proxy passes on that no address can be.
  const odd = [];
  for (const name of ['unknown', '192.0.2.1:443', 'x']) odd.push((await ask(named.port, proxy, name)).status);
  expect(odd).toEqual([200, 200, 429]);
});

test('behind a proxy that asks under a Host of its own, forms from the address that was given are taken and no others', async () => {
  const { port } = await behind(proxy, { address: 'https://van-shop.example' });
  const headers = { ...forwarded, host: '10.0.0.5:8080' };
  const page = await askOverSocket(port, { from: proxy, path: '/sign-in', headers });
  const cookie = cookiesOf(page)[0]?.split(';')[0] as string;
  const body = new URLSearchParams({
    ...tokensOf(page.body),
    signIn: 'ines',
    passphrase: 'wrong',
  }).toString();
  const from = async (origin: string) =>
    (
      await askOverSocket(port, {
        ...{ from: proxy, method: 'POST', path: '/sign-in', body },
        headers: { ...headers, cookie, origin, 'content-type': 'application/x-www-form-urlencoded' },
      })
    ).status;
  expect(await from('https://van-shop.example')).toBe(422);
  expect(await from('http://van-shop.example')).toBe(403);
  expect(await from('https://elsewhere.example')).toBe(403);
});
