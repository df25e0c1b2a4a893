import { spawnSync } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { closeSync, openSync, rmSync, writeSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { tempFolder } from '../store/temp-store.js';
import { Phone, photoForm, readingForm } from './real-server/phone.js';
import { makeShopAtGroundPath, standing, startServer, written } from './real-server/real-server.js';
import { smallPicture } from './real-server/small-picture.js';

test('on a disk that is full pages are read, forms are refused with what was typed, and writing goes on when there is room', async ({
  skip,
}) => {
  const dir = tempFolder();
  const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=24m', 'inlet-test', dir], {
    encoding: 'utf8',
  });
  if (mounted.status !== 0) skip(`A small disk cannot be mounted here: ${mounted.stderr || mounted.error}`);
  onTestFinished(() => void spawnSync('umount', ['-l', dir]));
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
