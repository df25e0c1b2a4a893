import { execFileSync, spawn } from 'node:child_process';
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { tempFolder } from '../store/temp-store.js';
import { tokensOf } from '../web/shop-under-test.js';

const root = new URL('../..', import.meta.url).pathname;

/** Runs the packed program until it says its address; answers what it said. */
async function started(dir: string, command: 'demo' | 'serve') {
  const child = spawn(
    `${dir}/node_modules/.bin/inlet-logbook`,
    [command, '--port', '0', '--data', `${dir}/${command}`],
    { cwd: dir, stdio: ['ignore', 'pipe', 'pipe'] },
  );
  onTestFinished(() => void child.kill('SIGKILL'));
  const gone = new Promise<number | null>((resolve) => child.once('close', resolve));
  let printed = '';
  const address = await new Promise<string>((resolve, reject) => {
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (text: string) => {
        printed += text;
        const found = /Inlet Logbook[^:\n]*: (http:\S+)\n/.exec(printed)?.[1];
        if (found !== undefined) resolve(found);
      });
    void gone.then(() => reject(new Error(`${command} does not start:\n${printed}`)));
  });
  const stop = () => {
    child.kill('SIGTERM');
    return gone;
  };
  const said = (what: RegExp) =>
    new Promise<string>((resolve) => {
      const look = () => what.test(printed) && resolve(printed);
      child.stdout.on('data', look);
      look();
    });
  return { address, stop, said };
}

test('the package, installed into an empty folder, serves the demonstration and an empty shop, and stops when told', async () => {
  const dir = tempFolder();
  execFileSync('npm', ['pack', '--pack-destination', dir], { cwd: root, stdio: 'pipe' });
  const [tarball] = readdirSync(dir).filter((name) => name.endsWith('.tgz'));
  writeFileSync(`${dir}/package.json`, '{"private":true}\n');
  // The cookie package of fastify asks for Node 22; ours lays an older one in its place here, which a package cannot.
  const quick = ['--prefer-offline', '--no-audit', '--no-fund', '--engine-strict=false'];
  execFileSync('npm', ['install', ...quick, `./${tarball}`], { cwd: dir, stdio: 'pipe' });
  const packed = readdirSync(`${dir}/node_modules/inlet-logbook`, { recursive: true }).map(String);
  for (const needed of ['dist/schemas/inlet-job-1.json', 'seed-demo/job.json', 'views/layout.eta', 'LICENSE'])
    expect(packed).toContain(needed);
  const files = packed.filter((name) => statSync(`${dir}/node_modules/inlet-logbook/${name}`).isFile());
  // Of the source only what is read or copied as it stands: none of its code, no tests, nobody's data.
  const asItStands = /^src\/(store\/passphrase-lists\/[\w-]+\.txt|command-line\/inlet-logbook\.service)$/;
  const unwanted = files.filter((name) => /^(src|tests|data)\b|\.ts$|\.map$/.test(name));
  expect(unwanted.filter((name) => !asItStands.test(name))).toEqual([]);
  const { version } = JSON.parse(readFileSync(`${root}/package.json`, 'utf8'));
  for (const command of ['demo', 'serve'] as const) {
    const server = await started(dir, command);
    expect(await (await fetch(new URL('/health', server.address))).json()).toEqual({ status: 'writing' });
    expect(await (await fetch(new URL('/version', server.address))).json()).toMatchObject({ version });
    const first = new URL(command === 'demo' ? '/sign-in' : '/set-up', server.address);
    const page = await fetch(first);
    const html = await page.text();
    expect([page.status, html.includes('<main')]).toEqual([200, true]);
    if (command === 'demo') {
      const word =
        / sign in as ines with the passphrase (\S+)/.exec(await server.said(/Data folder/))?.[1] ?? '';
      const answer = await fetch(first, {
        method: 'POST',
        redirect: 'manual',
        headers: {
          cookie: page.headers
            .getSetCookie()
            .map((c) => c.split(';')[0])
            .join('; '),
        },
        body: new URLSearchParams({ ...tokensOf(html), signIn: 'ines', passphrase: word }),
      });
      expect([answer.status, answer.headers.get('location')]).toEqual([303, '/']);
    }
    expect(await server.stop()).toBe(0);
  }
});
