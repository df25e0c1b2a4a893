import { spawnSync } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import {
  closeSync,
  copyFileSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { expect, onTestFinished, test } from 'vitest';
import { openStore } from '../../src/store/open-store.js';
import { findings } from '../../src/store/upkeep/findings.js';
import { tempFolder } from '../store/temp-store.js';
import { Phone, photoForm, readingForm } from './real-server/phone.js';
import { makeShopAtGroundPath, standing, startServer, written } from './real-server/real-server.js';
import { smallPicture } from './real-server/small-picture.js';

test('on a disk that is full pages are read, forms are refused with what was typed, and writing goes on when there is room', async ({
  skip,
}) => {
  const dir = smallDisk(skip);
  await makeShopAtGroundPath(dir);
  const server = await startServer(dir);
  const phone = await new Phone(server.address).signIn();
  expect((await phone.send(readingForm(randomUUID()))).status).toBe(303);

  for (const round of [1, 2, 3]) {
    fillUp(`${dir}/ballast`);
    const reading = readingForm(`full-disk-reading-${round}`);
    const photo = photoForm(`full-disk-photo-${round}`, await smallPicture());
    for (const form of [reading, photo]) {
      const refused = await phone.send({ ...form, fields: { ...form.fields, caption: 'kept <words>' } });
      expect([round, refused.status]).toEqual([round, 507]);
      expect(refused.body).toContain('The disk would not take the entry; nothing was written.');
      expect(refused.body).toContain('kept &lt;words&gt;');
    }
    for (const page of [
      '/',
      `/jobs/${written.job}`,
      reading.url,
      `/jobs/${written.job}/steps/${written.photoStep}`,
    ])
      expect([page, (await phone.get(page)).status]).toEqual([page, 200]);
    rmSync(`${dir}/ballast`);
    for (const form of [reading, photo]) expect((await phone.send(form)).status).toBe(303);
    expect((await phone.get('/health')).body).toBe('{"status":"writing"}');
  }
  phone.leave();
  await server.end('SIGTERM');
  expect(standing(dir)).toEqual({ broken: undefined, fault: undefined, readings: 4 });
});

test.for([
  ['that was stopped', 'SIGTERM'],
  ['that was killed', 'SIGKILL'],
] as const)(
  'a shop %s starts on a full disk or says why not, and has everything when there is room',
  async ([_how, signal], { skip }) => {
    const dir = smallDisk(skip);
    await makeShopAtGroundPath(dir);
    const server = await startServer(dir);
    const phone = await new Phone(server.address).signIn();
    for (const key of ['before-full-1', 'before-full-2'])
      expect((await phone.send(readingForm(key))).status).toBe(303);
    phone.leave();
    await server.end(signal);
    fillUp(`${dir}/ballast`);
    for (const _again of [1, 2]) {
      const server = await startServer(dir).catch(({ message }: Error) => message);
      if (typeof server === 'string') {
        expect(server).toMatch(/The disk of the data folder is full or failing; nothing was changed/);
        continue;
      }
      // A killed server left files that have the room already which another start asks for.
      expect([signal, (await new Phone(server.address).get('/health')).status]).toEqual(['SIGKILL', 200]);
      await server.end('SIGTERM');
      expect(server.printed()).not.toMatch(/\n {4}at /);
    }
    rmSync(`${dir}/ballast`);
    const after = await startServer(dir);
    expect(after.printed()).not.toMatch(/reading only/);
    await after.end('SIGTERM');
    expect(standing(dir)).toEqual({ broken: undefined, fault: undefined, readings: 2 });
  },
);

test('an older folder on a full disk is not changed, and opens when there is room', async ({ skip }) => {
  const dir = smallDisk(skip);
  const release = new URL('../store/releases/0.1.0', import.meta.url).pathname;
  const older = gunzipSync(readFileSync(`${release}/logbook.db.gz`));
  writeFileSync(`${dir}/logbook.db`, older);
  for (const name of ['heads.json', 'shop.secret']) copyFileSync(`${release}/${name}`, `${dir}/${name}`);
  // Room for what SQLite itself needs to open a file, and none for a copy of it.
  fillUp(`${dir}/ballast`);
  truncateSync(`${dir}/ballast`, statSync(`${dir}/ballast`).size - 160 * 1024);
  await expect(startServer(dir)).rejects.toThrow(/no room for that copy \(1 MB\).* Nothing was changed/);
  expect(readdirSync(dir).filter((name) => name.includes('before'))).toEqual([]);
  rmSync(`${dir}/ballast`);
  expect(readFileSync(`${dir}/logbook.db`).equals(older)).toBe(true);
  await (await startServer(dir)).end('SIGTERM');
  expect(standingOlder(dir)).toEqual([undefined, []]);
});

function standingOlder(dir: string) {
  const store = openStore({ dir, clock: () => new Date() });
  const found = [store.broken, [...findings(store.db, `${dir}/heads.json`)]];
  store.close();
  return found;
}

/** A disk of 24 MB in a folder of its own, where one can be mounted. */
function smallDisk(skip: (why: string) => void): string {
  const dir = tempFolder();
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=24m', 'inlet-test', dir], {
    encoding: 'utf8',
  });
  if (mounted.status !== 0) skip(`A small disk cannot be mounted here: ${mounted.stderr || mounted.error}`);
  onTestFinished(() => void spawnSync('umount', ['-l', dir]));
  return dir;
}

/** Takes every byte that the disk has left. */
function fillUp(file: string): void {
  const handle = openSync(file, 'a');
  try {
    for (let size = 1024 * 1024; size >= 1; size = Math.floor(size / 2)) {
      const piece = Buffer.alloc(size);
      try {
        while (writeSync(handle, piece) === size);
      } catch (error) {
        expect(error).toMatchObject({ code: 'ENOSPC' });
      }
    }
  } finally {
    closeSync(handle);
  }
}
