import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import type { IncomingMessage } from 'node:http';
import { get } from 'node:https';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { expect, onTestFinished, test, vi } from 'vitest';
import { openStore } from '../../src/store/open-store.js';
import { signingFault } from '../../src/store/shop-signer.js';
import { makeShop } from '../../src/web/people/set-up-page.js';
import { tempFolder } from '../store/temp-store.js';
import { runHere as run } from './run-here.js';

const root = new URL('../..', import.meta.url).pathname;
const program = ['--import', 'tsx', 'src/main.ts'];

test('without a command it says what there is', async () => {
  expect(await run()).toMatchObject({
    status: 2,
    out: expect.stringContaining('Usage: inlet-logbook COMMAND'),
  });
  expect((await run('--help')).status).toBe(0);
});

test.each([
  ...['serve', 'demo', 'check', 'diagnose', 'record', 'verify', 'export', 'import'],
  ...['backup', 'restore', 'check-data', 'keeper-passphrase', 'key'],
])('%s says how it is used, whatever else is asked of it', async (command) => {
  const { status, out, err } = await run(command, 'one', 'and', 'another', '--help');
  expect([status, err]).toEqual([0, '']);
  expect(out).toMatch(new RegExp(`^Usage: inlet-logbook ${command}\\b.*\n`));
});

const dir = () => tempFolder();
const none: Record<string, string> = {};
type Wrong = readonly [
  name: string,
  args: () => string[],
  words: RegExp,
  environment: Record<string, string>,
];
const wrong: readonly Wrong[] = [
  ['a command that is none', () => ['approve'], /^approve is no command/, none],
  ['a command from another world', () => ['__proto__'], /^__proto__ is no command/, none],
  ['an unknown option', () => ['serve', '--prot', '1'], /^serve: Unknown option '--prot'/, none],
  [
    'a port that is a word',
    () => ['serve', '--port', 'http'],
    /^--port \(or INLET_PORT\) must be a port/,
    none,
  ],
  [
    'a port past the last',
    () => ['serve'],
    /^--port \(or INLET_PORT\) must be a port/,
    { INLET_PORT: '65536' },
  ],
  ['a host with a space', () => ['serve', '--host', 'my van'], /^--host \(or INLET_HOST\) must be/, none],
  ['a log level of its own', () => ['serve'], /^INLET_LOG must be silent, error/, { INLET_LOG: 'loud' }],
  ['an argument too many', () => ['serve', 'here'], /^serve: takes no argument, was given here/, none],
  ['no job number', () => ['export'], /^export: needs JOB-NUMBER, was given none/, none],
  [
    'a folder without a logbook',
    () => ['export', '2026-001', '--data', dir()],
    /^There is no logbook in /,
    none,
  ],
  [
    'a file that is not there',
    () => ['import', 'nowhere.json'],
    /^import: nowhere.json: cannot be read/,
    none,
  ],
  [
    'a file that is no job',
    () => ['import', 'package.json'],
    /^import: package.json: format: is missing/,
    none,
  ],
  [
    'a data folder below a file',
    () => ['serve', '--data', `${root}package.json/x`],
    /cannot be made or written in/,
    none,
  ],
  [
    'a data folder that the system does not let be made',
    () => ['serve', '--data', '/proc/1/x'],
    /cannot be made or written in/,
    none,
  ],
  [
    'an address with a path',
    () => ['serve', '--address', 'https://shop.example/van'],
    /^--address \(or INLET_ADDRESS\) must be an http or https address of a host and port alone/,
    none,
  ],
  [
    'an address of no web',
    () => ['serve'],
    /^--address \(or INLET_ADDRESS\) must be/,
    { INLET_ADDRESS: 'ftp://x' },
  ],
  [
    'a proxy that is a name',
    () => ['serve', '--trust-proxy', 'proxy.local'],
    /^--trust-proxy \(or INLET_TRUST_PROXY\) must be the address of a proxy/,
    none,
  ],
  [
    'a proxy that is everybody',
    () => ['serve'],
    /^--trust-proxy \(or INLET_TRUST_PROXY\) must be .* not everybody’s$/,
    { INLET_TRUST_PROXY: '0.0.0.0/0' },
  ],
];

test.each(wrong)('%s is one clear line and exit 2', async (_name, args, words, environment) => {
  for (const [name, value] of Object.entries(environment)) vi.stubEnv(name, value);
  const { status, out, err } = await run(...args());
  vi.unstubAllEnvs();
  expect([status, out]).toEqual([2, '']);
  expect(err).toMatch(words);
  expect(err.split('\n')).toHaveLength(1);
});

test('a job goes in as a file and comes out as one; a number that the shop does not have is named', async () => {
  const data = dir();
  const imported = await run('import', 'seed-demo/job.json', '--data', data);
  expect(imported).toMatchObject({
    status: 0,
    out: expect.stringMatching(/^Job 2026-001: \d+ entries written/),
  });
  const again = await run('import', 'seed-demo/job.json', '--data', data);
  expect(again).toMatchObject({
    status: 2,
    err: expect.stringMatching(/this job is here already: 2026-001/),
  });
  const missing = await run('export', '2031-009', '--data', data);
  expect(missing).toMatchObject({ status: 2, err: `export: there is no job 2031-009 in ${data}` });
  const { status, out } = await run('export', '2026-001', '--data', data);
  expect([status, JSON.parse(out).format]).toEqual([0, 'inlet-job/1']);
  const zip = `${data}/out.zip`;
  expect((await run('export', '2026-001', '--zip', zip, '--data', data)).status).toBe(0);
  const other = await run('import', zip, '--data', dir());
  expect(other.out).toMatch(/^Job 2026-001: \d+ entries written, with the digests of the file/);
  const record = await run('record', zip, '--out', `${data}/r.pdf`);
  expect(record.out).toMatch(/^Record of job 2026-001/);
  const before = readFileSync(zip);
  for (const [args, name] of [
    [['export', '2026-001', '--zip', zip, '--data', data], zip],
    // The very file that is read, by a slip of the hand.
    [['record', zip, '--out', zip], zip],
    [['record', zip, '--out', `${data}/r.pdf`], `${data}/r.pdf`],
  ] as const)
    expect(await run(...args)).toMatchObject({
      status: 2,
      err: `${args[0]}: ${name}: is there already; name another file`,
    });
  expect(readFileSync(zip).equals(before)).toBe(true);
  writeFileSync(`${data}/out.json`, out);
  const taken = await run('import', `${data}/out.json`, '--data', data);
  expect(taken).toMatchObject({
    status: 2,
    err: expect.stringMatching(/this job is here already: 2026-001 holds the \d+ entries of the file$/),
  });
}, 60_000);

/** A server with what it has printed so far. */
async function serving(args: readonly string[]) {
  const server = spawn(process.execPath, [...program, 'serve', ...args], {
    cwd: root,
    env: { ...process.env, INLET_LOG: 'silent' },
  });
  onTestFinished(() => void server.kill('SIGKILL'));
  const said = { out: '', err: '' };
  server.stdout.on('data', (text) => {
    said.out += text;
  });
  server.stderr.on('data', (text) => {
    said.err += text;
  });
  for (let tries = 0; tries < 300 && !/Data folder/.test(said.out) && server.exitCode === null; tries++)
    await new Promise((r) => setTimeout(r, 50));
  return { server, said };
}

test('serve prints where it is and a token at a first start, refuses a second of itself, and ends cleanly when told', async () => {
  const data = dir();
  const { server, said } = await serving(['--data', data, '--port', '0']);
  const address = /http:\/\/127\.0\.0\.1:(\d+)/.exec(said.out);
  // The token is printed behind the folder, which may come in a piece of its own.
  await expect.poll(() => said.out).toMatch(/one-time set-up token: [a-z2-9]{5}(-[a-z2-9]{5}){3}/);
  expect((await fetch(`${address?.[0]}/health`)).status).toBe(200);
  expect(statSync(`${data}/shop.secret`).mode & 0o777).toBe(0o600);
  expect((await run('serve', '--data', data, '--port', '0')).err).toMatch(
    /^Another process already writes in/,
  );
  const taken = await run('serve', '--data', dir(), '--port', address?.[1] as string);
  expect(taken).toMatchObject({
    status: 2,
    err: `serve: 127.0.0.1:${address?.[1]} is in use by another program`,
  });
  const ended = new Promise((resolve) => server.once('exit', resolve));
  server.kill('SIGTERM');
  expect(await ended).toBe(0);
  expect(said.err).toBe('');
});

/** A page of this machine, whose certificate is its own. */
async function overTlsHere(port: number, path: string): Promise<IncomingMessage> {
  const asked = get({ host: '127.0.0.1', port, path, rejectUnauthorized: false });
  const [reply] = (await once(asked, 'response')) as [IncomingMessage];
  await reply.resume().toArray();
  return reply;
}

test('on a network it serves HTTPS with its own certificate, keeps it, and prints its fingerprint', async () => {
  const data = dir();
  const first = await serving(['--data', data, '--port', '0', '--host', '0.0.0.0']);
  const fingerprint = /SHA-256\): ((?:[0-9A-F]{2}:){31}[0-9A-F]{2})/.exec(first.said.out)?.[1];
  expect(fingerprint).toBeDefined();
  const port = /https:\/\/[^\s]+:(\d+)/.exec(first.said.out)?.[1];
  const seen = spawnSync(
    'sh',
    [
      '-c',
      `openssl s_client -connect 127.0.0.1:${port} </dev/null 2>/dev/null | openssl x509 -noout -fingerprint -sha256 -checkip 127.0.0.1`,
    ],
    { encoding: 'utf8' },
  );
  expect(seen.stdout).toContain(fingerprint);
  expect(seen.stdout).toContain('does match certificate');
  expect(statSync(`${data}/tls.pem`).mode & 0o777).toBe(0o600);
  const page = await overTlsHere(Number(port), '/set-up');
  expect(page.headers['set-cookie']?.[0]).toMatch(
    /^__Host-inlet=[^;]+; Path=\/; HttpOnly; Secure; SameSite=Lax$/,
  );
  expect(page.headers['strict-transport-security']).toBe('max-age=31536000');
  first.server.kill('SIGTERM');
  await new Promise((resolve) => first.server.once('exit', resolve));
  const second = await serving(['--data', data, '--port', '0', '--host', '0.0.0.0']);
  expect(second.said.out).toContain(fingerprint);
});

test('what a stranger’s file or path says cannot steer the terminal', async () => {
  const path = `${tempFolder()}/odd\u001b[31m\nname.json`;
  writeFileSync(path, '{"format":"\u202e"}');
  for (const args of [
    ['check', path],
    ['diagnose', path],
    ['import', path, '--data', tempFolder()],
    ['record', path, '--out', 'r.pdf'],
  ]) {
    const { status, err } = await run(...args);
    expect(status).toBe(2);
    expect(err).toMatch(/odd\?\[31m\?name\.json: /);
    expect(err).not.toMatch(/[\p{Cc}\p{Cf}]/u);
  }
});

test('a shop whose secret is gone is told at the start that no record can be signed', async () => {
  const clock = () => new Date('2026-11-25T08:00:00.000Z');
  const dir = tempFolder();
  const first = openStore({ dir, clock });
  expect(signingFault(first, clock())).toBeUndefined();
  await makeShop(
    { store: first, clock },
    {
      shop: { name: 'Thimble Lane Vanworks', place: '', units: 'imperial' },
      person: { name: 'Ines Okafor', signIn: 'ines', roles: ['keeper'] },
      passphrase: 'spindle-lantern-otter-quarry',
    },
  );
  expect(signingFault(first, clock())).toBeUndefined();
  first.close();
  rmSync(`${dir}/shop.secret`);
  const second = openStore({ dir, clock });
  onTestFinished(() => second.close());
  expect(signingFault(second, clock())).toMatch(/Put back the shop\.secret/);
});

test('a reader who stops reading ends no command with a trace', () => {
  const script = 'node --import tsx src/main.ts --help | true';
  const { stderr } = spawnSync('sh', ['-c', script], { cwd: root, encoding: 'utf8' });
  expect(stderr).toBe('');
});

test('a demonstration that cannot be served leaves no folder behind that nobody was told of', async () => {
  const busy = createServer();
  busy.listen(0, '127.0.0.1');
  await once(busy, 'listening');
  onTestFinished(() => void busy.close());
  const { port } = busy.address() as AddressInfo;
  const { status, err } = await run('demo', '--port', String(port));
  expect([status, err]).toEqual([2, expect.stringContaining(String(port))]);
  expect(readdirSync(tmpdir()).filter((name) => name.startsWith('inlet-demo-'))).toEqual([]);
});
