import { once } from 'node:events';
import { connect } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { buildApp } from '../../src/app.js';
import { plainLogLine, requestLine } from '../../src/web/log-lines.js';
import { playedShop } from './played-shop.js';
import { Browser, passphrase, shopUnderTest, signedIn, tokensOf } from './shop-under-test.js';

const steering = /[\p{Cc}\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/u;
const esc = '\u001b[2J\u009b31m\u202e\u2028';

test.each([
  ['/o/AbCdEfGhIjKlMnOpQrStUvWxYz012345', '/o/…'],
  ['/o/AbCdEfGhIjKlMnOpQrStUvWxYz012345/record?x=1', '/o/…'],
  ['//o/AbCdEfGhIjKlMnOpQrStUvWxYz012345', '//o/…'],
  ['http://127.0.0.1/o/AbCdEfGhIjKlMnOpQrStUvWxYz012345', 'http://127.0.0.1/o/…'],
  ['/AbCdEfGhIjKlMnOpQrStUvWxYz012345', '/…'],
  ['/sign-in?next=%2Fo%2Fsecret', '/sign-in'],
  [`/photos/${'a1'.repeat(32)}`, `/photos/${'a1'.repeat(32)}`],
  ['/people/0f8fad5b-d9cb-469f-a165-70867728950e', '/people/0f8fad5b-d9cb-469f-a165-70867728950e'],
])('a log keeps of %s no more than %s', (url, path) => {
  expect(requestLine({ method: 'GET', url }).path).toBe(path);
});

test('a line of the log reads the same to a program and steers no terminal', () => {
  const words = `${esc}\u007f\u0085\r\n`;
  const line = plainLogLine(JSON.stringify({ words }));
  expect(line).not.toMatch(steering);
  expect(JSON.parse(line)).toEqual({ words });
});

test('whatever bytes a stranger sends, each line of the log is one and steers no terminal', async () => {
  const { store, clock } = await shopUnderTest();
  const chunks: string[] = [];
  const app = await buildApp({
    config: { logLevel: 'debug' },
    ...{ store, clock, log: { write: (chunk) => void chunks.push(chunk) } },
  });
  onTestFinished(() => app.close());
  const port = Number(new URL(await app.listen({ port: 0, host: '127.0.0.1' })).port);
  const send = async (raw: string) => {
    const socket = connect(port, '127.0.0.1').on('error', () => undefined);
    socket.resume().end(Buffer.from(raw, 'utf8'));
    await once(socket, 'close');
  };
  const odd = `\u009b31m\u202e${'%1b%5b2J%0d%0a'}`;
  await send(`GET /${odd} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n`);
  await send(
    `GET /people?${odd} HTTP/1.1\r\nHost: ${odd}\r\nUser-Agent: ${odd}\r\nConnection: close\r\n\r\n`,
  );
  await send(`GET /o/${odd} HTTP/1.1\r\nHost: x\r\nX-Forwarded-For: ${odd}\r\nConnection: close\r\n\r\n`);
  await send('GET /\u001b[2J HTTP/1.1\r\nHost: x\r\n\r\n');
  const browser = new Browser(app);
  await browser.signIn(`ines\r\n{"level":30,"msg":"signed in"}${esc}`, `wrong${esc}`);
  await browser.postFiles('/verify', {}, [
    { field: 'record', name: `x${esc}.pdf`, bytes: Buffer.from('%PDF-') },
  ]);
  await browser.postFiles('/verify', { odd: esc }, [
    { field: `odd${esc}`, name: 'x.pdf', bytes: Buffer.from('x') },
  ]);
  const lines = chunks.join('').split('\n');
  expect(lines.pop()).toBe('');
  expect(lines.length).toBeGreaterThan(7);
  for (const line of lines) {
    expect(line).not.toMatch(steering);
    expect(JSON.parse(line)).toHaveProperty('at');
  }
  expect(lines.filter((line) => line.includes('"msg":"signed in"'))).toEqual([]);
});

test('a request is one line of the log, once it is answered: what was asked, the status and how long it took', async () => {
  const { store, clock } = await shopUnderTest();
  const lines: string[] = [];
  const app = await buildApp({
    config: { logLevel: 'info' },
    ...{ store, clock, log: { write: (line) => void lines.push(line) } },
  });
  await app.inject('/sign-in');
  await app.inject({ method: 'POST', url: '/sign-in?next=/', payload: {} });
  await app.inject('/nowhere');
  await app.close();
  const answered = lines.map((line) => JSON.parse(line)).filter(({ req }) => req !== undefined);
  expect(answered.map(({ req, res, msg }) => [req.method, req.path, res.statusCode, msg])).toEqual([
    ['GET', '/sign-in', 200, 'request completed'],
    ['POST', '/sign-in', 403, 'request completed'],
    ['GET', '/nowhere', 404, 'request completed'],
  ]);
  for (const { responseTime, reqId } of answered) {
    expect(responseTime).toBeGreaterThan(0);
    expect(lines.filter((line) => line.includes(reqId)).length).toBeGreaterThan(0);
  }
});

test('over a whole session no passphrase, token, cookie, link or typed word stands in the log', async () => {
  const quiet = await playedShop();
  const chunks: string[] = [];
  const app = await buildApp({
    config: { logLevel: 'debug' },
    store: quiet.store,
    clock: quiet.clock,
    log: { write: (chunk) => void chunks.push(chunk) },
  });
  onTestFinished(() => app.close());
  const secrets = new Set([passphrase, 'a wrong passphrase', 'Petra Typed', 'petra.typed', 'Lotte Typed']);
  const ines = new Browser(app);
  const noteTokens = (html: string) => {
    for (const token of [tokensOf(html)._csrf, tokensOf(html)._key]) if (token !== '') secrets.add(token);
    for (const value of [ines.cookie, ines.device].map((c) => c.split('=')[1] ?? ''))
      if (value !== '')
        for (const form of [value, decodeURIComponent(value), value.split('.')[0]!]) secrets.add(form);
  };
  await ines.signIn('ines', 'a wrong passphrase');
  await ines.signIn('ines');
  noteTokens((await ines.get('/people')).body);
  const petra = { name: 'Petra Typed', signIn: 'petra.typed', roles: ['fitter'], vouchedBy: 'Ines Okafor' };
  const given = await ines.post('/people', { ...petra, passphrase });
  const word = /<code[^>]*>([a-z]+(?:-[a-z0-9]+)+)</.exec(given.body)?.[1];
  expect([given.statusCode, word]).toEqual([200, expect.any(String)]);
  secrets.add(word as string);
  noteTokens(given.body);
  const record = `/jobs/${quiet.number}/record`;
  const signature = { 'signature.name': 'Ines Okafor', 'signature.strokes': '' };
  await ines.post(record, { ...signature, passphrase: 'a wrong passphrase' });
  expect((await ines.post(record, { ...signature, passphrase })).statusCode).toBe(303);
  const until = '2027-11-25';
  await ines.post(`/jobs/${quiet.number}/link`, { heldBy: 'Lotte Typed', until }, { page: record });
  const path = /\/o\/[\w-]{32}/.exec((await ines.get(record)).body)?.[0] as string;
  secrets.add(path.slice(3));
  noteTokens((await ines.get('/account')).body);
  const owner = new Browser(app, '192.0.2.7');
  for (const url of [path, `${path}/record`, `/${path}`, `${path}/nothing`, `/sign-in?next=${path}`])
    await owner.get(url);
  await owner.post(
    `${path}/acknowledgement`,
    { revision: '1', ...signature, 'signature.name': 'Lotte Typed' },
    { page: path },
  );
  const person = signedIn({ ...quiet, app }, 'tam');
  await person.get('/people');
  await person.postRaw(record, { _csrf: 'a-token-that-is-none', passphrase });
  await ines.postRaw('/sign-out', { _csrf: tokensOf((await ines.get('/account')).body)._csrf });
  const log = chunks.join('');
  for (const said of ['sign-in refused', 'signed in', 'signed out']) expect(log).toContain(`"msg":"${said}"`);
  for (const secret of secrets) expect([secret, log.includes(secret)]).toEqual([secret, false]);
});

test('a set-up leaves neither its token nor the passphrase in the log', async () => {
  const { store, clock, setUp } = await shopUnderTest({ named: false });
  const chunks: string[] = [];
  const app = await buildApp({
    config: { logLevel: 'debug' },
    ...{ store, clock, setUp, log: { write: (chunk) => void chunks.push(chunk) } },
  });
  onTestFinished(() => app.close());
  const browser = new Browser(app);
  const filled = {
    ...{
      shopName: 'Thimble Lane',
      place: '',
      units: 'metric',
      zone: 'UTC',
      name: 'Ines Okafor',
      signIn: 'ines',
    },
    ...{ passphrase, again: passphrase },
  };
  await browser.get(`/set-up?token=${setUp.printed}`);
  await browser.post('/set-up', { ...filled, token: 'wrong' });
  expect((await browser.post('/set-up', { ...filled, token: setUp.printed })).statusCode).toBe(303);
  const log = chunks.join('');
  for (const secret of [setUp.printed, setUp.printed.replaceAll('-', ''), passphrase, 'Thimble Lane'])
    expect([secret, log.includes(secret)]).toEqual([secret, false]);
});
