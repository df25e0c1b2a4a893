import { spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { openDatabase } from '../../src/store/database.js';
import { readMigrations } from '../../src/store/migrate.js';
import { beforeName, openStore } from '../../src/store/open-store.js';
import { findings } from '../../src/store/upkeep/findings.js';
import { tempFolder } from '../store/temp-store.js';

const root = new URL('../..', import.meta.url).pathname;
const release = `${root}tests/store/releases/0.1.0`;
const newest = readMigrations(`${root}migrations`).length;
/** Every call by which the opening changes the disk. */
const calls = ['pwrite64', 'fsync', 'fdatasync', 'ftruncate', 'rename', 'unlink'];
/** So many moments of each call are tried; the first and the last always are. */
const momentsOfEach = 14;

/** The compiled store, opened and closed by itself: what a new version does first with an older folder. */
const opening = `import { openStore } from '${root}dist/store/open-store.js';
openStore({ dir: process.argv[1], clock: () => new Date() }).close();`;

test('an older folder whose migration is killed at any write, flush or renaming is whole at the next start, and its copy is too', () => {
  const before = contentsOf(olderFolder());
  expect(before.version).toBeLessThan(newest);
  expect(before.entries.length).toBeGreaterThan(30);
  const counts = callsOf(olderFolder());
  let killed = 0;
  const versionsLeft = new Set<number>();
  for (const call of calls)
    for (const moment of momentsIn(counts.get(call) ?? 0)) {
      const dir = olderFolder();
      const { signal, status } = underStrace(dir, ['-e', `inject=${call}:signal=SIGKILL:when=${moment}`]);
      const at = `${call} ${moment}`;
      expect([at, signal === 'SIGKILL' || status === 137]).toEqual([at, true]);
      killed += 1;
      versionsLeft.add(versionOf(dir));
      // Whatever has the name of a copy is one, whole, from the moment that it has it.
      for (const name of readdirSync(dir).filter((file) => /^logbook-before-\d+\.db$/.test(file)))
        expect([at, name, contentsOf(dir, name)]).toMatchObject([
          at,
          name,
          { sound: 'ok', entries: before.entries },
        ]);

      const store = openStore({ dir, clock: () => new Date() });
      expect([at, store.broken, [...findings(store.db, `${dir}/heads.json`)]]).toEqual([at, undefined, []]);
      store.close();
      expect([at, contentsOf(dir)]).toEqual([at, { ...before, version: newest }]);
      const kept = `${beforeName(before.version)}`;
      expect([at, existsSync(`${dir}/${kept}`) && contentsOf(dir, kept)]).toEqual([at, before]);
      expect(readdirSync(dir).filter((file) => file.endsWith('.part'))).toEqual([]);
    }
  expect(killed).toBeGreaterThan(25);
  // Some kills fell before the first migration, some between two and some behind the last.
  expect(versionsLeft.size).toBeGreaterThan(2);
});

function olderFolder(): string {
  const dir = `${tempFolder()}/shop`;
  mkdirSync(dir);
  writeFileSync(`${dir}/logbook.db`, gunzipSync(readFileSync(`${release}/logbook.db.gz`)));
  for (const name of ['heads.json', 'shop.secret']) copyFileSync(`${release}/${name}`, `${dir}/${name}`);
  return dir;
}

function underStrace(dir: string, more: readonly string[]) {
  const paths = [
    ...['logbook.db', 'logbook.db-wal', 'logbook.db-shm', 'heads.json', 'heads.json.tmp', ''],
    ...Array.from({ length: newest }, (_, version) => beforeName(version)).flatMap((name) => [
      name,
      `${name}.part`,
      `${name}.part-journal`,
    ]),
  ].flatMap((name) => ['-P', name === '' ? dir : `${dir}/${name}`]);
  const node = [process.execPath, '--input-type=module', '-e', opening, dir];
  const watched = ['-f', '-o', `${dir}/../calls`, '-e', `trace=${calls.join(',')}`, ...paths, ...more];
  return spawnSync('strace', [...watched, ...node], { cwd: root, encoding: 'utf8' });
}

/** How often each call is made where nothing kills. */
function callsOf(dir: string): ReadonlyMap<string, number> {
  const { status, stderr } = underStrace(dir, []);
  expect([status, stderr]).toEqual([0, '']);
  const text = readFileSync(`${dir}/../calls`, 'utf8');
  return new Map(calls.map((call) => [call, text.match(new RegExp(`^\\d+ +${call}\\(`, 'gm'))?.length ?? 0]));
}

function momentsIn(count: number): readonly number[] {
  const all = Array.from({ length: count }, (_, k) => k + 1);
  if (count <= momentsOfEach) return all;
  return [
    ...new Set(all.filter((n) => n === count || (n - 1) % Math.ceil(count / (momentsOfEach - 1)) === 0)),
  ];
}

function versionOf(dir: string): number {
  const db = openDatabase(`${dir}/logbook.db`, { readOnly: true });
  try {
    return db.pragma('user_version', { simple: true }) as number;
  } finally {
    db.close();
  }
}

/** What a database holds that no migration may change. */
function contentsOf(dir: string, name = 'logbook.db') {
  const db = openDatabase(`${dir}/${name}`, { readOnly: true });
  try {
    const column = (sql: string) => db.prepare(sql).pluck().all() as string[];
    return {
      version: db.pragma('user_version', { simple: true }) as number,
      sound: db.pragma('integrity_check', { simple: true }) as string,
      entries: column('SELECT digest FROM entries ORDER BY job, seq'),
      shop: column('SELECT digest FROM shop_entries ORDER BY seq'),
      heads: column('SELECT head FROM heads ORDER BY n'),
      photos: column('SELECT id FROM photos ORDER BY id'),
    };
  } finally {
    db.close();
  }
}
