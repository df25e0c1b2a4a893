import { spawn } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { expect, onTestFinished, test } from 'vitest';
import { tempFolder } from '../store/temp-store.js';
import { Phone, readingForm } from './real-server/phone.js';
import {
  makeShopAtGroundPath,
  type RealServer,
  standing,
  startServer,
  written,
} from './real-server/real-server.js';

const nth = [1, 2, 3, 5, 8, 13, 21, 34];

test.each(['ENOSPC', 'EIO'])(
  'a write that fails with %s, at whichever call of a form, is refused whole with what was typed, and the next is taken',
  async (error) => {
    const { dir, server, phone } = await shopAtWork();
    let refused = 0;
    for (const call of [
      ...nth.map((n) => `pwrite64:${n}`),
      'write:1',
      'openat:1',
      'rename:1',
      'ftruncate:1',
    ]) {
      const [name = '', when = ''] = call.split(':');
      const key = randomUUID();
      const reply = await failing(server, dir, `${name}:error=${error}:when=${when}`, watched, () =>
        phone.send(readingForm(key)),
      );
      if (reply.status !== 303) {
        refused += 1;
        expect([call, reply.status]).toEqual([call, 507]);
        expect(reply.body).toContain(`note ${key}`);
      }
      expect((await phone.get(`/jobs/${written.job}`)).status).toBe(200);
      // The same form again: it is written now, and once.
      expect([call, (await phone.send(readingForm(key))).status]).toEqual([call, 303]);
      expect((await phone.get('/health')).body).toBe('{"status":"writing"}');
    }
    expect(refused).toBeGreaterThan(6);
    await server.end('SIGTERM');
    expect(standing(dir)).toEqual({ broken: undefined, fault: undefined, readings: nth.length + 4 });
  },
);

test.each([
  ['of the database', 'logbook.db-wal'],
  ['of the heads beside it', 'heads.json'],
])(
  'a failed fsync %s closes the logbook for writing until the next start, which finds it whole',
  async (_name, file) => {
    const { dir, server, phone } = await shopAtWork();
    expect((await phone.send(readingForm(randomUUID()))).status).toBe(303);
    const keys = [randomUUID(), randomUUID(), randomUUID()];
    const replies = await failing(server, dir, 'fsync:error=EIO,fdatasync:error=EIO', [file], () =>
      Promise.all(keys.map((key) => phone.send(readingForm(key)))),
    );
    for (const [k, reply] of replies.entries()) {
      expect(reply.status).toBe(503);
      expect(reply.body).toContain(`note ${keys[k]}`);
    }
    expect(replies.map(({ body }) => body).join('')).toContain('The disk did not confirm that this was kept');
    const pages = ['/', `/jobs/${written.job}`, `/jobs/${written.job}/readings/${written.reading}`];
    for (const page of pages) expect([page, (await phone.get(page)).status]).toEqual([page, 200]);
    expect((await phone.get('/health')).body).toBe('{"status":"reading-only"}');
    expect((await phone.send(readingForm(randomUUID()))).status).toBe(503);
    await server.end();

    const again = await startServer(dir);
    phone.address = again.address;
    expect(again.printed()).not.toMatch(/reading only/);
    for (const key of keys) expect((await phone.send(readingForm(key))).status).toBe(303);
    await again.end('SIGTERM');
    expect(standing(dir)).toEqual({ broken: undefined, fault: undefined, readings: 4 });
  },
);

async function shopAtWork() {
  const dir = tempFolder();
  await makeShopAtGroundPath(dir);
  const server = await startServer(dir);
  const phone = await new Phone(server.address).signIn();
  onTestFinished(() => phone.leave());
  return { dir, server, phone };
}

const watched = ['logbook.db', 'logbook.db-wal', 'heads.json', 'heads.json.tmp'];

/** Sends forms while calls of the running server on these files fail as strace is told. */
async function failing<T>(
  server: RealServer,
  dir: string,
  injections: string,
  files: readonly string[],
  send: () => Promise<T>,
): Promise<T> {
  const calls = injections.split(',');
  const strace = spawn('strace', [
    ...[
      '-f',
      '-p',
      String(server.pid),
      '-o',
      '/dev/null',
      '-e',
      `trace=${calls.map((c) => c.split(':')[0]).join(',')}`,
    ],
    ...calls.flatMap((call) => ['-e', `inject=${call}`]),
    ...files.flatMap((name) => ['-P', `${dir}/${name}`]),
  ]);
  const gone = new Promise((resolve) => strace.once('close', resolve));
  onTestFinished(() => void strace.kill('SIGKILL'));
  await new Promise<void>((resolve, reject) => {
    strace.stderr.setEncoding('utf8').on('data', (text: string) => {
      if (text.includes('attached')) resolve();
    });
    void gone.then(() => reject(new Error('strace does not attach')));
  });
  const answer = await send();
  strace.kill('SIGINT');
  await gone;
  return answer;
}
