import { execFile } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { openDatabase } from '../../src/store/database.js';
import { findings } from '../../src/store/upkeep/findings.js';
import { tempFolder } from '../store/temp-store.js';
import { type Form, nameOf, Phone, photoForm, readingForm } from './real-server/phone.js';
import { makeShopAtGroundPath, startServer, written } from './real-server/real-server.js';
import { smallPicture } from './real-server/small-picture.js';

const run = promisify(execFile);
const inlet = (...args: string[]) => run(process.execPath, ['dist/main.js', ...args]);
const drills = 5;

test(`${drills} backups that are made while three phones write come back with everything answered before them, digest for digest`, async () => {
  const dir = tempFolder();
  await makeShopAtGroundPath(dir);
  const server = await startServer(dir);
  const phones = await Promise.all(Array.from({ length: 3 }, () => new Phone(server.address).signIn()));
  const answered: Form[] = [];
  let writing = true;
  const work = phones.map(async (phone, who) => {
    for (let k = 0; writing; k += 1) {
      const form =
        who === 0 && k % 5 === 0 ? photoForm(randomUUID(), await smallPicture()) : readingForm(randomUUID());
      expect((await phone.send(form)).status).toBe(303);
      answered.push(form);
    }
  });
  const backups: { file: string; before: Form[] }[] = [];
  const folder = tempFolder();
  for (let k = 0; k < drills; k += 1) {
    const before = [...answered];
    await inlet('backup', `${folder}/${k}.backup`, '--data', dir);
    backups.push({ file: `${folder}/${k}.backup`, before });
  }
  writing = false;
  await Promise.all(work);
  for (const phone of phones) phone.leave();
  await server.end('SIGTERM');
  const live = digestsIn(dir);
  expect(backups.at(-1)?.before.length).toBeGreaterThan(backups[0]?.before.length ?? 0);

  for (const { file, before } of backups) {
    const restored = `${tempFolder()}/restored`;
    await inlet('restore', file, '--data', restored);
    const found = digestsIn(restored);
    for (const form of before)
      expect([form.key, found.text.includes(nameOf(form))]).toEqual([form.key, true]);
    // What it holds is the beginning of what the shop holds now, entry by entry and photo by photo.
    expect(found.entries).toEqual(live.entries.slice(0, found.entries.length));
    expect(live.photos).toEqual(expect.arrayContaining(found.photos));
    const again = await startServer(restored);
    expect((await new Phone(again.address).get('/health')).status).toBe(200);
    expect(again.printed()).not.toMatch(/reading only/);
    await again.end('SIGTERM');
  }
});

function digestsIn(dir: string) {
  const db = openDatabase(`${dir}/logbook.db`);
  expect([...findings(db, `${dir}/heads.json`)]).toEqual([]);
  const column = (sql: string) => db.prepare(sql).pluck().all() as string[];
  const kept = {
    entries: column(`SELECT digest FROM entries WHERE job = '${written.job}' ORDER BY seq`),
    photos: column('SELECT id FROM photos ORDER BY id'),
    text: column('SELECT form_key || body FROM entries').join('\n'),
  };
  db.close();
  return kept;
}
