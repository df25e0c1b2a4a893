import { randomUUID } from 'node:crypto';
import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { readHeads } from '../../src/store/heads-file.js';
import { openStore } from '../../src/store/open-store.js';
import { randomFrom } from '../random-from.js';
import { scratchInMemory } from '../scratch-folder.js';
import { tempFolder } from '../store/temp-store.js';
import { Disk, type Survivors } from './power-cut/disk.js';
import { type FileEvent, readStraceLog, straceInto } from './power-cut/strace-log.js';
import { nameOf, Phone, photoForm, readingForm } from './real-server/phone.js';
import { makeShopAtGroundPath, startServer, written } from './real-server/real-server.js';
import { smallPicture } from './real-server/small-picture.js';

const root = new URL('../..', import.meta.url).pathname;
const files = ['logbook.db', 'logbook.db-wal', 'heads.json', 'heads.json.tmp'];
const fromLoss = /has lost \d+ of the newest entries/;

test('a power cut at any moment loses nothing that was answered, and harms nothing', async () => {
  const found = replay(await record({ forms: 150 }), { every: 4, openEvery: 40 });
  expect(found).toMatchObject({ corrupt: 0, lost: 0, falseAlarms: [] });
  expect(found.states).toBeGreaterThan(2000);
  expect(found.opened).toBeGreaterThan(50);
  expect(found.checkpoints).toBeGreaterThan(0);
  // Some forms shared one confirmation: the cuts fell into groups too.
  expect(found.headsConfirmed).toBeLessThan(150);
});

test('with synchronous=NORMAL answered forms are lost, and the start says so: the test above has teeth', async () => {
  const found = replay(await record({ forms: 30, program: normalProgram() }), { every: 9, openEvery: 0 });
  expect(found.corrupt).toBe(0);
  expect(found.lost).toBeGreaterThan(100);
  expect(found.lossesUnnoticed).toBe(0);
});

interface Recorded {
  readonly dir: string;
  readonly before: ReadonlyMap<string, Buffer>;
  readonly events: readonly FileEvent[];
  readonly answers: readonly { readonly at: number; readonly name: string }[];
}

/** A real server under strace while five phones save readings and photos; each answer is logged by the phone that got it. */
async function record({ forms, program }: { forms: number; program?: string }): Promise<Recorded> {
  const dir = tempFolder();
  await makeShopAtGroundPath(dir);
  const before = new Map(
    files
      .filter((name) => existsSync(`${dir}/${name}`))
      .map((name) => [name, readFileSync(`${dir}/${name}`)]),
  );
  const log = `${tempFolder()}/calls`;
  const server = await startServer(dir, { under: straceInto(log), ...(program ? { program } : {}) });
  const phones: Phone[] = [];
  while (phones.length < 5) phones.push(await new Phone(server.address).signIn());
  const answers: { at: number; name: string }[] = [];
  await Promise.all(
    phones.map(async (phone, one) => {
      for (let k = 0; k < forms / phones.length; k++) {
        const key = randomUUID();
        const form = one === 0 && k % 4 === 0 ? photoForm(key, await smallPicture()) : readingForm(key);
        const reply = await phone.send(form);
        if (reply.status !== 303) throw new Error(`${reply.status} ${reply.body.slice(0, 2000)}`);
        answers.push({ at: Date.now(), name: nameOf(form) });
      }
      phone.leave();
    }),
  );
  await server.end('SIGTERM');
  return { dir, before, events: await readStraceLog(log, dir), answers };
}

interface Found {
  states: number;
  opened: number;
  checkpoints: number;
  /** How often heads.json was put on the disk. */
  headsConfirmed: number;
  corrupt: number;
  /** States without something that was answered before the cut. */
  lost: number;
  /** Of those, the ones whose heads.json is no further than the database. */
  lossesUnnoticed: number;
  /** What the start says of states that lost nothing. */
  falseAlarms: string[];
}

/**
 * Cuts the power after every confirmation and change of a name, and after every so many other calls, each with three outcomes for
 * what was pending; looks at every state, and opens every so many with the store itself.
 */
function replay(
  { dir, before, events, answers }: Recorded,
  how: { every: number; openEvery: number },
): Found {
  const disk = new Disk(dir, before, randomFrom(20_261_125));
  const states = stateFolder(dir);
  const found: Found = {
    states: 0,
    opened: 0,
    checkpoints: 0,
    headsConfirmed: 0,
    corrupt: 0,
    lost: 0,
    lossesUnnoticed: 0,
    falseAlarms: [],
  };
  events.forEach((event, k) => {
    if (event.file === dir || files.some((name) => event.file === `${dir}/${name}`)) disk.follow(event);
    if (event.kind === 'sync' && event.file.endsWith('/logbook.db')) found.checkpoints += 1;
    if (event.kind === 'sync' && event.file.endsWith('/heads.json')) found.headsConfirmed += 1;
    if ((event.kind === 'write' || event.kind === 'open') && k % how.every !== 0) return;
    const answered = answers.filter(({ at }) => at < event.at).map(({ name }) => name);
    for (const survivors of ['none', 'all', 'some sectors'] satisfies Survivors[]) {
      states.write(disk.afterCut(survivors));
      found.states += 1;
      const state = states.look();
      if (state === 'corrupt') {
        found.corrupt += 1;
        continue;
      }
      const lost = answered.some((name) => !state.names.has(name));
      if (lost) found.lost += 1;
      if (lost && !state.headsAhead) found.lossesUnnoticed += 1;
      if (!lost && state.headsAhead) found.falseAlarms.push(`state ${found.states}: heads.json is ahead`);
      if (how.openEvery > 0 && found.states % how.openEvery === 0) {
        found.opened += 1;
        const said = states.open();
        if (said !== undefined && !fromLoss.test(said)) found.corrupt += 1;
        if (said !== undefined && !lost) found.falseAlarms.push(`state ${found.states}: ${said}`);
      }
    }
  });
  return found;
}

/** A folder in memory, where there is one, that holds one state after the other. */
function stateFolder(original: string) {
  const dir = scratchInMemory();
  onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
  cpSync(`${original}/shop.secret`, `${dir}/shop.secret`);
  const standing = new Map<string, Buffer>();
  const file = `${dir}/logbook.db`;
  return {
    write(state: ReadonlyMap<string, Buffer>) {
      rmSync(`${file}-shm`, { force: true });
      for (const name of files) {
        const bytes = state.get(name);
        if (bytes === undefined) rmSync(`${dir}/${name}`, { force: true });
        else if (standing.get(name) !== bytes) writeFileSync(`${dir}/${name}`, bytes);
        if (bytes === undefined) standing.delete(name);
        else standing.set(name, bytes);
      }
    },
    /** What is in the logbook, read beside the store and changing nothing. */
    look() {
      const db = new Database(file, { readonly: true });
      try {
        if (db.pragma('quick_check(1)', { simple: true }) !== 'ok') return 'corrupt' as const;
        const names = db
          .prepare(
            "SELECT iif(kind = 'photo added', json_extract(body, '$.original'), form_key) FROM entries WHERE job = ?",
          )
          .pluck()
          .all(written.job) as string[];
        const last = db.prepare('SELECT n, head FROM heads ORDER BY n DESC LIMIT 1').get() as { n: number };
        const kept = readHeads(`${dir}/heads.json`);
        if (kept === 'absent' || kept === 'unreadable') return 'corrupt' as const;
        return { names: new Set(names), headsAhead: kept.n > last.n };
      } catch (error) {
        if (!/^SQLITE_(CORRUPT|NOTADB)/.test(String((error as { code?: string }).code))) throw error;
        return 'corrupt' as const;
      } finally {
        db.close();
      }
    },
    /** Opened as the server opens it: what it says of itself. */
    open() {
      const store = openStore({ dir, clock: () => new Date() });
      const { broken } = store;
      store.close();
      standing.clear();
      return broken;
    },
  };
}

/** The compiled program, but for the one word that this test is about; the product has no switch for it. */
function normalProgram(): string {
  const dir = tempFolder();
  for (const name of ['dist', 'views', 'migrations', 'package.json'])
    cpSync(`${root}${name}`, `${dir}/${name}`, { recursive: true });
  mkdirSync(`${dir}/seed-demo`);
  symlinkSync(`${root}node_modules`, `${dir}/node_modules`);
  const file = `${dir}/dist/store/database.js`;
  const text = readFileSync(file, 'utf8');
  const normal = text
    .replace('synchronous = FULL', 'synchronous = NORMAL')
    .replace('synchronous: 2', 'synchronous: 1');
  if (normal === text) throw new Error('database.js sets synchronous in other words');
  writeFileSync(file, normal);
  return `${dir}/dist/main.js`;
}
