import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { expect, onTestFinished, test } from 'vitest';
import { openDatabase } from '../../../src/store/database.js';
import { ownMigrations } from '../../../src/store/migrate.js';
import { openStore } from '../../../src/store/open-store.js';
import { makeBackup, restoreBackup } from '../../../src/store/upkeep/backup.js';
import { digestOfFile, manifestSchema, writeBackupFile } from '../../../src/store/upkeep/backup-file.js';
import { playedShop } from '../../web/played-shop.js';
import { behindGuards } from '../behind-guards.js';
import { addNote, openedJob, standingClock, tempFolder, tempStore } from '../temp-store.js';

const now = new Date('2026-11-25T08:00:00.000Z');

/** A folder with two jobs, at rest, and its backup. */
function backedUp() {
  const store = tempStore();
  for (const job of [openedJob(store), openedJob(store)]) addNote(store, job, 'one');
  store.close();
  const file = `${tempFolder()}/shop.backup`;
  makeBackup(store.dir, file, now);
  return { store, file, bytes: readFileSync(file) };
}

/** Every row of every table that a backup holds. */
function rowsOf(dir: string) {
  const db = openDatabase(`${dir}/logbook.db`, { readOnly: true });
  onTestFinished(() => void db.close());
  const tables = [
    'jobs',
    'entries',
    'shop_entries',
    'heads',
    'photos',
    'records',
    'form_keys',
    'migrations',
    'job_lines',
  ];
  return Object.fromEntries([
    ...tables.map((table) => [table, db.prepare(`SELECT * FROM ${table} ORDER BY 1, 2`).all()]),
    ['secrets', db.prepare("SELECT * FROM secrets WHERE name NOT GLOB 'passphrase:*'").all()],
  ]);
}

test('a backup that is made while the shop is open comes back row for row, photos and all, and goes on', async () => {
  const shop = await playedShop();
  const file = `${tempFolder()}/shop.backup`;
  const manifest = makeBackup(shop.store.dir, file, now);
  expect(manifest.counts).toMatchObject({ jobs: 1, people: 2, entries: shop.entries().length });
  expect(manifest.counts.photos).toBeGreaterThan(10);
  const dir = `${tempFolder()}/restored`;
  expect(restoreBackup(file, dir)).toEqual(manifest);
  expect(rowsOf(dir)).toEqual(rowsOf(shop.store.dir));
  for (const [path, mode] of [
    [file, 0o600],
    [dir, 0o700],
    [`${dir}/logbook.db`, 0o600],
  ] as const)
    expect([path, statSync(path).mode & 0o777]).toEqual([path, mode]);
  const store = tempStore(dir);
  expect(store.broken).toBeUndefined();
  addNote(store, shop.number, 'written after the restore');
  expect(store.logbook.entries(shop.number)).toHaveLength(shop.entries().length + 1);
});

test('no passphrase, no session and no secret of the shop is in a backup, not even in what was deleted', async () => {
  const shop = await playedShop((job) => job.steps.size > 0);
  const { db, secret, secrets } = shop.store;
  const kept = [
    secrets.get('passphrase:ines') ?? '',
    secrets.get('passphrase:tam') ?? '',
    ...(db.prepare('SELECT id_digest FROM sessions').pluck().all() as string[]),
    ...(db.prepare('SELECT data FROM sessions').pluck().all() as string[]),
    ...Object.values(secret),
  ];
  expect(kept.length).toBeGreaterThan(5);
  const file = `${tempFolder()}/shop.backup`;
  makeBackup(shop.store.dir, file, now);
  const bytes = readFileSync(file);
  for (const word of kept) expect([word.length > 10, bytes.includes(word)]).toEqual([true, false]);
});

test('its first line says what it is', () => {
  const { bytes } = backedUp();
  const line = JSON.parse(bytes.toString('utf8', 0, bytes.indexOf(0x0a)));
  expect(manifestSchema.parse(line)).toMatchObject({
    format: 'inlet-backup/1',
    made: '2026-11-25T08:00:00.000Z',
    counts: { jobs: 2, entries: 4, photos: 0, records: 0, people: 0 },
    head: { n: 6 },
  });
});

test('with any byte changed, cut short anywhere, or with more behind it, it is refused and nothing is made', () => {
  const { bytes } = backedUp();
  const folder = tempFolder();
  const file = `${folder}/harmed.backup`;
  const line = bytes.indexOf(0x0a);
  const flipped = (at: number) => {
    const copy = Buffer.from(bytes);
    copy[at] = (copy[at] as number) ^ 1;
    return copy;
  };
  const places = Array.from(
    { length: 60 },
    (_, k) => Math.floor(((k + 0.5) * (bytes.length - line)) / 60) + line,
  );
  const digits = Array.from({ length: line }, (_, at) => at).filter((at) => at % 7 === 0);
  const cuts = [0, 1, line, line + 1, line + 4096, bytes.length - 1];
  const harmed = [
    ...places.map((at) => flipped(at)),
    ...digits.map((at) => flipped(at)).filter((copy) => !sameSaying(copy, bytes, line)),
    ...cuts.map((end) => bytes.subarray(0, end)),
    Buffer.concat([bytes, Buffer.from('x')]),
    Buffer.from('{"format":"inlet-backup/1"}\nSQLite format 3'),
  ];
  expect(harmed.length).toBeGreaterThan(100);
  for (const copy of harmed) {
    writeFileSync(file, copy);
    expect(() => restoreBackup(file, `${folder}/restored`)).toThrow(/harmed\.backup/);
    expect(readdirSync(folder)).toEqual(['harmed.backup']);
  }
});

/** Whether a changed first line still says nothing false: when it was made and by which program is for people only. */
function sameSaying(copy: Buffer, bytes: Buffer, line: number): boolean {
  const read = (from: Buffer) => {
    try {
      const {
        made: _made,
        program: _program,
        ...said
      } = manifestSchema.parse(JSON.parse(from.toString('utf8', 0, line)));
      return JSON.stringify(said);
    } catch {
      return undefined;
    }
  };
  return read(copy) === read(bytes);
}

test('one of a newer version is refused in words', () => {
  const { bytes } = backedUp();
  const file = `${tempFolder()}/newer.backup`;
  const line = bytes.indexOf(0x0a);
  const manifest = {
    ...JSON.parse(bytes.toString('utf8', 0, line)),
    schema: ownMigrations().length + 1,
    program: '9.0.0',
  };
  writeFileSync(file, Buffer.concat([Buffer.from(JSON.stringify(manifest)), bytes.subarray(line)]));
  expect(() => restoreBackup(file, `${tempFolder()}/restored`)).toThrow(
    /newer version of this program \(9\.0\.0\)/,
  );
});

test('one that holds no database is refused in words', () => {
  const { bytes } = backedUp();
  const folder = tempFolder();
  writeFileSync(`${folder}/none.db`, 'no database at all');
  const manifest = JSON.parse(bytes.toString('utf8', 0, bytes.indexOf(0x0a)));
  writeBackupFile(
    `${folder}/none.backup`,
    { ...manifest, database: digestOfFile(`${folder}/none.db`) },
    `${folder}/none.db`,
    `${folder}/part`,
  );
  expect(() => restoreBackup(`${folder}/none.backup`, `${folder}/restored`)).toThrow(
    /is not restored: it holds no database that can be read/,
  );
  expect(readdirSync(folder).sort()).toEqual(['none.backup', 'none.db', 'part']);
});

/** A backup whose database was changed by hand, and whose first line says the digest of what it is now. */
function forged(sql: string) {
  const { bytes } = backedUp();
  const folder = tempFolder();
  const line = bytes.indexOf(0x0a);
  writeFileSync(`${folder}/logbook.db`, bytes.subarray(line + 1));
  const db = openDatabase(`${folder}/logbook.db`);
  behindGuards(db, () => db.exec(sql));
  db.pragma('journal_mode = DELETE');
  db.close();
  const manifest = {
    ...JSON.parse(bytes.toString('utf8', 0, line)),
    database: digestOfFile(`${folder}/logbook.db`),
  };
  writeFileSync(
    `${folder}/forged.backup`,
    Buffer.concat([Buffer.from(`${JSON.stringify(manifest)}\n`), readFileSync(`${folder}/logbook.db`)]),
  );
  return folder;
}

test.each([
  [
    'that would let people in',
    "INSERT INTO secrets VALUES ('passphrase:ines', 'scrypt$1', '')",
    /lets people in/,
  ],
  [
    'with an open session',
    "INSERT INTO sessions VALUES ('digest', 'handle', 'ines', '{}', 'a browser', 1, 1)",
    /lets people in/,
  ],
  [
    'in which an entry says something else than was sealed',
    "UPDATE entries SET body = replace(body, 'one', 'two')",
    /is not restored: entries, entry 2 of the logbook of job 2026-001: is not what was written/,
  ],
])('one %s is refused, and nothing of it stays', (_what, sql, why) => {
  const folder = forged(sql);
  expect(() => restoreBackup(`${folder}/forged.backup`, `${folder}/restored`)).toThrow(why);
  expect(existsSync(`${folder}/restored`)).toBe(false);
});

test('a file that is there is never written over, nor a folder that holds anything', () => {
  const { store, file, bytes } = backedUp();
  expect(() => makeBackup(store.dir, file, now)).toThrow(/is there already/);
  expect(readFileSync(file).equals(bytes)).toBe(true);
  const dir = tempFolder();
  writeFileSync(`${dir}/a note`, 'mine');
  expect(() => restoreBackup(file, dir)).toThrow(/is not empty/);
  expect(readdirSync(dir)).toEqual(['a note']);
  expect(() => restoreBackup(file, `${dir}/a note`)).toThrow(/is not empty/);
  const empty = tempFolder();
  restoreBackup(file, empty);
  expect(tempStore(empty).broken).toBeUndefined();
});

test('nor is one that came there while the backup was made', () => {
  const { store, file } = backedUp();
  const folder = tempFolder();
  const target = `${folder}/shop.backup`;
  writeFileSync(target, 'another’s');
  const manifest = JSON.parse(readFileSync(file).toString('utf8').split('\n', 1)[0]!);
  expect(() => writeBackupFile(target, manifest, `${store.dir}/logbook.db`, `${folder}/whole`)).toThrow(
    'EEXIST',
  );
  expect(readFileSync(target, 'utf8')).toBe('another’s');
});

test('a store that does not agree with itself is not backed up', () => {
  const { store } = backedUp();
  const db = openDatabase(`${store.dir}/logbook.db`);
  db.exec("DROP TRIGGER entries_no_update; UPDATE entries SET body = replace(body, 'one', 'none')");
  db.close();
  const folder = tempFolder();
  expect(() => makeBackup(store.dir, `${folder}/shop.backup`, now)).toThrow(
    /no backup was made: entries_no_update/,
  );
  expect(readdirSync(folder)).toEqual([]);
});

test('a folder that was copied whole while the server was stopped opens anywhere', () => {
  const { store } = backedUp();
  const moved = `${tempFolder()}/moved`;
  mkdirSync(moved);
  cpSync(store.dir, moved, { recursive: true });
  const other = openStore({ dir: moved, clock: standingClock() });
  expect(other.broken).toBeUndefined();
  other.close();
  expect(existsSync(`${moved}/shop.secret`)).toBe(true);
});
