import { once } from 'node:events';
import { connect } from 'node:net';
import { expect, test } from 'vitest';
import { type PlayedShop, playedShop } from './played-shop.js';
import { formOn } from './read-form.js';
import { Browser, signedIn, tokensOf } from './shop-under-test.js';

/** One request as it goes over the wire, byte for byte. */
interface Request {
  readonly title: string;
  readonly raw: string;
}

interface Told {
  readonly shop: PlayedShop;
  readonly cookie: string;
  readonly job: string;
  readonly reading: string;
  readonly fields: Readonly<Record<string, string>>;
}

const long = (n: number) => 'a'.repeat(n);
const show = (text: string) => JSON.stringify(text.length > 60 ? `${text.slice(0, 57)}…` : text);

function request(
  title: string,
  method: string,
  path: string,
  headers: readonly string[] = [],
  body?: string,
): Request {
  const length = body === undefined ? [] : [`Content-Length: ${Buffer.byteLength(body, 'latin1')}`];
  const host = headers.some((line) => /^host:/i.test(line)) ? [] : ['Host: 127.0.0.1'];
  const head = [`${method} ${path} HTTP/1.1`, ...host, ...headers, ...length, 'Connection: close'];
  return { title, raw: `${head.join('\r\n')}\r\n\r\n${body ?? ''}` };
}

const urlencoded = 'Content-Type: application/x-www-form-urlencoded';
const form = (fields: Readonly<Record<string, string>>) => new URLSearchParams(fields).toString();

function methods({ cookie, job, reading }: Told): Request[] {
  const paths = [
    '/',
    job,
    reading,
    `${job}/circuit`,
    '/people',
    '/shop',
    '/verify',
    '/assets/inlet.css',
    '/health',
  ];
  return ['PUT', 'DELETE', 'PATCH', 'OPTIONS', 'TRACE', 'PROPFIND', 'LOCK', 'SEARCH'].flatMap((method) =>
    paths.map((path) => request(`${method} ${path}`, method, path, [`Cookie: ${cookie}`])),
  );
}

function bodies({ cookie, reading, fields }: Told): Request[] {
  const types = [
    'text/plain',
    'application/json',
    'application/xml',
    'multipart/form-data',
    'multipart/form-data; boundary=',
    'multipart/form-data; boundary=x',
    'application/x-www-form-urlencoded; charset=utf-16',
    'application/octet-stream',
    'image/png',
    '',
    long(4000),
    '../../x',
  ];
  const texts = [
    '',
    '{',
    '{"__proto__":{"roles":["keeper"]}}',
    'a=b&a=c&__proto__[roles]=keeper&constructor=x',
    '%',
    '%ff%fe=%00',
    long(100_000),
    '\0\0\0',
    '--x\r\nContent-Disposition: form-data; name="_csrf"\r\n\r\n',
    form({ ...fields, ohms: '0.02' }).slice(0, 90),
  ];
  return types.flatMap((type) =>
    texts.map((text) =>
      request(
        `a body of ${show(type)}: ${show(text)}`,
        'POST',
        reading,
        [`Cookie: ${cookie}`, `Content-Type: ${type}`],
        text,
      ),
    ),
  );
}

function paths({ cookie, job }: Told): Request[] {
  const odd = [
    '/jobs/../../etc/passwd',
    '/jobs/%2e%2e%2f%2e%2e%2fshop.secret',
    '/jobs/..;/people',
    '/jobs/%00',
    '/jobs/%ff',
    '/jobs/%E0%A4%A',
    '/jobs//',
    '//evil.example/',
    '/\\evil.example',
    '/jobs/__proto__',
    '/jobs/constructor',
    '/jobs/toString/steps/valueOf',
    '/jobs/2026-002',
    '/jobs/2026-001%20',
    '/jobs/2026-001/../2026-001/people',
    `${job}/steps/__proto__`,
    `${job}/steps/hasOwnProperty`,
    `${job}/readings/constructor`,
    `${job}/readings/%22%3E%3Cscript%3E`,
    `${job}/parts/outlet%3A__proto__`,
    `${job}/parts/..%2f..`,
    `${job}/changes/NaN`,
    `${job}/changes/-1`,
    `${job}/changes/1e9`,
    `${job}/defects/99999999999999999999`,
    `${job}/defects/0x1`,
    `${job}/record/1%00`,
    `${job}/record/-0`,
    `${job}/record/Infinity`,
    `${job}/record/1.5`,
    `/photos/${'a'.repeat(64)}`,
    '/photos/../shop.secret',
    '/photos/%2e%2e%2fshop.secret/small',
    `/o/${'A'.repeat(32)}`,
    `/o/${'A'.repeat(33)}/record`,
    '/o/%0d%0aSet-Cookie:%20inlet=x',
    '/assets/%2e%2e/%2e%2e/package.json',
    '/assets/inlet.css%00.js',
    '/assets/__proto__',
    '/people/__proto__',
    '/people/ines%2fpassphrase',
    '/instruments/constructor',
    `/${long(9000)}`,
    `/jobs/${long(300)}`,
    '/jobs/ｊob',
    '/jobs/\u202e1',
    '/?q=%00',
    `/?q=${long(7000)}`,
    '/?q=%25%25%25_%27%22%3B--',
    '/?q[]=a&q[]=b',
    '/?state=__proto__',
    '/?before=x_y_z',
    '/?before=9999-99-99T99:99:99Z_2026-001',
    '/sketch?outlets=1e9',
    '/sketch?outlets=-1&run.0.loads.0.amount=NaN',
    `/sketch?last=${long(8000)}`,
    '/sign-in?next=//evil.example',
    '/sign-in?next=javascript:alert(1)',
    '/sign-in?next=/%0d%0aLocation:%20//evil.example',
    '/readings-without-a-job?job=__proto__',
    '/schemas/../package.json',
    '/schemas/constructor',
    '*',
    'http://evil.example/',
    '/jobs/2026-001?use[]=work-van&use=__proto__',
  ];
  return odd.map((path) => request(`a page at ${show(path)}`, 'GET', path, [`Cookie: ${cookie}`]));
}

function headers({ cookie, job, reading, fields }: Told): Request[] {
  const spoofed = [
    'Host: evil.example',
    'Host: ',
    `Host: ${long(3000)}`,
    'Host: 127.0.0.1:1, evil.example',
    'Host: [::1',
    'X-Forwarded-For: 127.0.0.1',
    'X-Forwarded-Host: evil.example',
    'X-Forwarded-Proto: https',
    'Forwarded: for=127.0.0.1;host=evil.example',
    'X-Original-URL: /people',
    'X-HTTP-Method-Override: DELETE',
    'Range: bytes=0-99999999999',
    'If-None-Match: *',
    'If-Modified-Since: yesterday',
    'Expect: 200-maybe',
    'Upgrade: websocket\r\nConnection: Upgrade',
    'Upgrade: h2c\r\nHTTP2-Settings: AAMAAABkAAQAAP__',
    'Accept: application/json, */*;q=1e9',
    `Accept-Language: ${long(12_000)}`,
    `X-Long: ${long(40_000)}`,
    'Content-Length: -1',
    'Content-Length: 1\r\nContent-Length: 2',
    'Transfer-Encoding: chunked, identity',
    'Content-Encoding: gzip',
    ...Array.from({ length: 3 }, (_, k) =>
      Array.from({ length: 900 * (k + 1) }, (_, n) => `X-${n}: ${n}`).join('\r\n'),
    ),
  ];
  const foreign = [
    'Origin: https://evil.example',
    'Origin: null',
    'Sec-Fetch-Site: cross-site',
    'Sec-Fetch-Site: same-site',
  ];
  const sent = form({ ...fields, ohms: '0.02' });
  return [
    ...spoofed.map((line) =>
      request(`a header ${show(line)}`, 'GET', job, [`Cookie: ${cookie}`, ...line.split('\r\n')]),
    ),
    ...foreign.map((line) =>
      request(`a whole form with ${line}`, 'POST', reading, [`Cookie: ${cookie}`, urlencoded, line], sent),
    ),
    { title: 'no HTTP at all', raw: 'hello\r\n\r\n' },
    { title: 'bytes of TLS', raw: '\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03' },
    { title: 'an older HTTP', raw: `GET ${job} HTTP/0.9\r\n\r\n` },
    { title: 'a line that never was', raw: `GET ${job} HTTP/1.1\nHost: x\n Cookie: ${cookie}\n\n` },
    request(
      'a body that is cut short',
      'POST',
      reading,
      [`Cookie: ${cookie}`, urlencoded, 'Content-Length: 5000'],
      'a=b',
    ),
  ];
}

function cookies({ cookie, reading, fields }: Told): Request[] {
  const [name = '', value = ''] = cookie.split('=');
  const forged = [
    '',
    `${name}=`,
    `${name}=x`,
    `${name}=s%3Ax.y`,
    `${name}=${value.slice(0, -1)}`,
    `${name}=${value.slice(0, -2)}${value.endsWith('AA') ? 'BB' : 'AA'}`,
    `${name}=A${value.slice(1)}`,
    `${name}=${value.split('.')[0]}`,
    `${name}=${value}${value}`,
    `${name}=${long(5000)}`,
    `${name}=%00`,
    `${name}=%`,
    `__Host-${name}=${value}`,
    `${name.toUpperCase()}=${value}`,
    `${name}="${value}; x"`,
    `${name}=__proto__`,
    ';;;===',
    `=${value}`,
  ];
  const sent = form({ ...fields, ohms: '0.02' });
  return forged.flatMap((line) => [
    request(`a form with the cookie ${show(line)}`, 'POST', reading, [`Cookie: ${line}`, urlencoded], sent),
    request(`a page with the cookie ${show(line)}`, 'GET', '/people', [`Cookie: ${line}`]),
  ]);
}

function values({ cookie, reading, fields }: Told): Request[] {
  const odd = [
    '',
    ' ',
    'NaN',
    'Infinity',
    '-1',
    '-0.02',
    '1e309',
    '1e5',
    '0x10',
    '١٢',
    '--',
    '1,2,3',
    '1.2.3',
    long(400),
  ];
  const words = [
    '<script>',
    '\u202e5',
    '\ufffd',
    "0.02' OR 1=1",
    '0.02\r\nX: y',
    '0.02\0',
    '½',
    '0,02,',
    '+',
    '.',
  ];
  const ways: Readonly<Record<string, string>>[] = [
    { _csrf: 'x' },
    { _csrf: '' },
    { _key: '' },
    { _key: 'x' },
    { _key: '../../../x' },
    { _key: long(500) },
    { _seen: 'NaN', instrument: '__proto__' },
    { instrument: 'constructor' },
    { 'ohms.unit': '__proto__' },
    { 'ohms.unit': 'V' },
    { over: 'yes', ohms: '5', range: '-1' },
    { note: long(501) },
  ];
  const post = (title: string, changed: Readonly<Record<string, string>>) =>
    request(
      title,
      'POST',
      reading,
      [`Cookie: ${cookie}`, urlencoded],
      form({ ...fields, ohms: '0.02', ...changed }),
    );
  return [
    ...[...odd, ...words].map((ohms) => post(`a reading of ${show(ohms)}`, { ohms })),
    ...ways.map((changed) => post(`a reading with ${show(JSON.stringify(changed))}`, changed)),
  ];
}

async function ask(port: number, raw: string): Promise<string> {
  const socket = connect(port, '127.0.0.1');
  const parts: Buffer[] = [];
  socket.on('data', (part) => parts.push(part));
  socket.on('error', () => undefined);
  // A request that never ends is given up by whoever sent it.
  const given = setTimeout(() => socket.destroy(), 1500);
  socket.write(Buffer.from(raw, 'latin1'));
  await once(socket, 'close');
  clearTimeout(given);
  return Buffer.concat(parts).toString('utf8');
}

test('at least 300 hostile requests are each answered without a fault, a trace or a word written', async () => {
  const shop = await playedShop((job) => job.next?.step.id === 'ground-path');
  const site = await shop.app.listen({ port: 0, host: '127.0.0.1' });
  const port = Number(new URL(site).port);
  const ines = signedIn(shop, 'ines');
  const job = `/jobs/${shop.number}`;
  const reading = `${job}/readings/ground-path.bench`;
  const page = (await ines.get(reading)).body;
  const told: Told = {
    shop,
    cookie: ines.cookie,
    job,
    reading,
    fields: { ...formOn(page, reading), ...tokensOf(page) },
  };
  const table = [methods, bodies, paths, headers, cookies, values].flatMap((make) => make(told));
  expect(table.length).toBeGreaterThanOrEqual(300);
  expect(new Set(table.map((r) => r.raw)).size).toBe(table.length);

  const newest = () => shop.store.db.prepare('SELECT max(n) AS n FROM heads').get();
  const before = newest();
  const wrong: string[] = [];
  for (const [k, { title, raw }] of table.entries()) {
    const answer = await ask(port, raw);
    const status = Number(/^HTTP\/1\.1 (\d{3})/.exec(answer)?.[1] ?? 0);
    if (status >= 500) wrong.push(`${title}: ${status}`);
    if (/\bat [^\n]+:\d+:\d+|node_modules|SQLITE_|\/src\/|\/dist\/|shop\.secret"/.test(answer))
      wrong.push(`${title}: shows its inside`);
    if (/^(set-cookie: [^\r\n]*evil|location: (?!\/[^/\\]))/im.test(answer))
      wrong.push(`${title}: leads away`);
    if (k % 25 === 0 && (await new Browser(shop.app).get('/health')).statusCode !== 200)
      wrong.push(`${title}: and then nothing`);
  }
  expect(wrong).toEqual([]);
  expect(newest()).toEqual(before);
  // The same form untouched is taken: what was refused was refused for what was wrong with it.
  const sent = form({ ...told.fields, ohms: '0.02' });
  const sound = request('a sound form', 'POST', reading, [`Cookie: ${told.cookie}`, urlencoded], sent);
  expect(await ask(port, sound.raw)).toMatch(/^HTTP\/1\.1 303/);
  expect(newest()).not.toEqual(before);
}, 240_000);
