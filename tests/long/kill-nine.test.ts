import { randomUUID } from 'node:crypto';
import { setTimeout as wait } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { chainFault } from '../../src/logbook/chain.js';
import { openStore, type Store } from '../../src/store/open-store.js';
import { tempFolder } from '../store/temp-store.js';
import { type Form, NoAnswer, nameOf, Phone, photoForm, readingForm } from './real-server/phone.js';
import { loadServer, makeShopAtGroundPath, written } from './real-server/real-server.js';
import { smallPicture } from './real-server/small-picture.js';

const kills = 100;
const writers = 3;

test(`a server that is killed ${kills} times while forms come in keeps every one that it answered, once`, async () => {
  const dir = tempFolder();
  await makeShopAtGroundPath(dir);
  const answered: Form[] = [];
  let open: Form[] = [];
  let resent = 0;
  let phones: Phone[] = [];
  let ahead = loadServer(dir);
  for (let round = 0; round <= kills; round++) {
    const server = await ahead();
    if (round < kills) ahead = loadServer(dir);
    expect(server.printed()).not.toMatch(/reading only/);
    if (round === 0)
      phones = await Promise.all(Array.from({ length: writers }, () => new Phone(server.address).signIn()));
    for (const phone of phones) phone.address = server.address;
    // What the last kill left without an answer is sent again, as a phone does.
    for (const form of open) {
      expect((await (phones[0] as Phone).send(form)).status).toBe(303);
      answered.push(form);
      resent += 1;
    }
    open = [];
    if (round === kills) {
      await server.end('SIGTERM');
      break;
    }
    // Killed at any moment of the work that follows a few answers, however long an answer takes here.
    const { toKill, oneMore } = afterAnswers(1 + Math.floor(Math.random() * 4));
    const kill = toKill.then(() => wait(Math.random() * 60)).then(() => server.end());
    const writing = phones.map(async (phone, k) => {
      const unanswered = await writeUntilKilled(phone, k === 0, (form) => {
        answered.push(form);
        oneMore();
      });
      open.push(unanswered);
    });
    await Promise.all([...writing, kill]);
  }
  for (const phone of phones) phone.leave();

  const store = openStore({ dir, clock: () => new Date() });
  expect(store.broken).toBeUndefined();
  expect(store.db.pragma('integrity_check', { simple: true })).toBe('ok');
  expect(chainFault(store.logbook.entries(written.job))).toBeUndefined();
  const times = timesKept(store);
  expect(answered.filter((form) => times(form) !== 1).map((form) => form.key)).toEqual([]);
  expect(times({ ...readingForm('never-sent') })).toBe(0);
  expect(resent).toBe(kills * writers);
  // Every kill has fallen into work.
  expect(answered.length - resent).toBeGreaterThanOrEqual(kills);
  store.close();
});

/** A promise that is kept once so many forms were answered. */
function afterAnswers(wanted: number): { toKill: Promise<void>; oneMore: () => void } {
  let left = wanted;
  let come: () => void = () => undefined;
  const toKill = new Promise<void>((resolve) => {
    come = resolve;
  });
  const oneMore = () => {
    left -= 1;
    if (left === 0) come();
  };
  return { toKill, oneMore };
}

/** Sends one form after another; answers with the one that got no answer. */
async function writeUntilKilled(
  phone: Phone,
  photosToo: boolean,
  answered: (form: Form) => void,
): Promise<Form> {
  for (let k = 0; ; k++) {
    const key = randomUUID();
    const form = photosToo && k % 3 === 0 ? photoForm(key, await smallPicture()) : readingForm(key);
    try {
      const reply = await phone.send(form);
      if (reply.status !== 303) throw new Error(`${reply.status} ${reply.body.slice(0, 2000)}`);
      answered(form);
    } catch (error) {
      if (!(error instanceof NoAnswer)) throw error;
      return form;
    }
  }
}

/** How often a form is in the logbook: told by its key, or by the digest of the photo that was sent. */
function timesKept(store: Store): (form: Form) => number {
  const count = new Map<string, number>();
  for (const entry of store.logbook.entries(written.job)) {
    const name = entry.kind === 'photo added' ? entry.body.original : entry.key;
    count.set(name, (count.get(name) ?? 0) + 1);
  }
  return (form) => count.get(nameOf(form)) ?? 0;
}
