import { randomBytes, randomUUID } from 'node:crypto';
import { existsSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import Database from 'better-sqlite3';
import { expect, onTestFinished, test } from 'vitest';
import { readHeads } from '../../src/store/heads-file.js';
import { openStore } from '../../src/store/open-store.js';
import { scratchFolder, scratchInMemory } from '../scratch-folder.js';
import { Phone, readingForm } from './real-server/phone.js';
import { makeShopAtGroundPath, startServer } from './real-server/real-server.js';

const forms = 12;
const kept = new Map<string, Buffer>();

/** A folder as a killed server leaves it: all that was answered is still in the WAL. */
async function killedServer(): Promise<void> {
  if (kept.size > 0) return;
  const dir = scratchFolder();
  await makeShopAtGroundPath(dir);
  const server = await startServer(dir);
  const phone = await new Phone(server.address).signIn();
  for (let k = 0; k < forms; k++) expect((await phone.send(readingForm(randomUUID()))).status).toBe(303);
  phone.leave();
  await server.end();
  for (const name of ['logbook.db', 'logbook.db-wal', 'heads.json', 'shop.secret'])
    kept.set(name, readFileSync(`${dir}/${name}`));
  rmSync(dir, { recursive: true });
}

const wal = () => kept.get('logbook.db-wal') as Buffer;

test.each([
  ['cut off', 61, (at: number) => wal().subarray(0, at)],
  ['cut off, with zeros behind', 509, (at: number) => behind(at, Buffer.alloc(wal().length - at))],
  ['cut off, with rubbish behind', 509, (at: number) => behind(at, randomBytes(wal().length - at))],
  ['changed in one byte', 127, (at: number) => flipped(at)],
])(
  'a WAL that is %s, wherever it is, leaves whole forms, and the start names what is missing',
  async (_name, step, harm) => {
    await killedServer();
    const dir = scratchInMemory();
    onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
    const seen = new Map<number, number>();
    for (let at = 0; at < wal().length; at += step) {
      write(dir, harm(at));
      const { whole, headsOfAll, last } = look(dir);
      expect([at, whole]).toEqual([at, true]);
      const lost = headsOfAll - last;
      const times = seen.get(lost) ?? 0;
      seen.set(lost, times + 1);
      // The store itself opens the first of each length, and every hundredth.
      if (times % 100 === 0) {
        const broken = opened(dir);
        if (lost === 0) expect([at, broken]).toEqual([at, undefined]);
        else
          expect([at, broken]).toEqual([
            at,
            expect.stringMatching(
              `has lost ${lost} of the newest entries, from entry \\d+ of the logbook of job 2026-001`,
            ),
          ]);
      }
    }
    // From every form lost to the last one alone.
    expect([...seen.keys()].sort((a, b) => a - b)).toEqual(
      expect.arrayContaining([1, 2, 6, forms - 1, forms]),
    );
  },
);

function write(dir: string, wal: Buffer): void {
  rmSync(`${dir}/logbook.db-shm`, { force: true });
  for (const [name, bytes] of kept)
    if (name !== 'logbook.db-wal' && (!existsSync(`${dir}/${name}`) || name === 'logbook.db'))
      writeFileSync(`${dir}/${name}`, bytes);
  writeFileSync(`${dir}/logbook.db-wal`, wal);
}

function look(dir: string) {
  const db = new Database(`${dir}/logbook.db`, { readonly: true });
  try {
    const count = (sql: string) => db.prepare(sql).pluck().get() as number;
    const last = count('SELECT max(n) FROM heads');
    const entries = count('SELECT (SELECT count(*) FROM entries) + (SELECT count(*) FROM shop_entries)');
    const { n } = readHeads(`${dir}/heads.json`) as { n: number };
    const ok = db.pragma('quick_check(1)', { simple: true }) === 'ok';
    return { whole: ok && entries === last, headsOfAll: n, last };
  } finally {
    db.close();
  }
}

function opened(dir: string): string | undefined {
  const store = openStore({ dir, clock: () => new Date() });
  const { broken } = store;
  store.close();
  writeFileSync(`${dir}/heads.json`, kept.get('heads.json') as Buffer);
  return broken;
}

function behind(at: number, more: Buffer): Buffer {
  return Buffer.concat([wal().subarray(0, at), more]);
}

function flipped(at: number): Buffer {
  const bytes = Buffer.from(wal());
  bytes[at] = (bytes[at] as number) ^ 0xff;
  return bytes;
}
