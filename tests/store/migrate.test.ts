import { expect, test } from 'vitest';
import { packageVersion } from '../../src/package-root.js';
import { openDatabase } from '../../src/store/database.js';
import { type Migration, migrate, readMigrations } from '../../src/store/migrate.js';
import { openStore } from '../../src/store/open-store.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { openedJob, standingClock, tempFolder, tempStore } from './temp-store.js';

const at = '2026-11-25T08:00:00.000Z';
const migrations = readMigrations(new URL('../../migrations', import.meta.url).pathname);

test('a new database gets every migration once, each recorded with its digest', () => {
  const db = openDatabase(`${tempFolder()}/a.db`);
  expect(migrate(db, migrations, at)).toBe(migrations.length);
  expect(migrate(db, migrations, at)).toBe(0);
  expect(db.prepare('SELECT name, digest FROM migrations').all()).toEqual(
    migrations.map(({ name, digest }) => ({ name, digest })),
  );
  db.close();
});

test('a migration that fails leaves the database as it was', () => {
  const db = openDatabase(`${tempFolder()}/a.db`);
  migrate(db, migrations, at);
  const before = db.prepare('SELECT name FROM sqlite_schema ORDER BY name').all();
  const number = migrations.length + 1;
  const bad: Migration = {
    number,
    name: 'bad.sql',
    digest: 'x',
    sql: 'CREATE TABLE half (a TEXT) STRICT; CREATE TABLE entries (b TEXT) STRICT;',
  };
  expect(() => migrate(db, [...migrations, bad], at)).toThrow(/already exists/);
  expect(db.prepare('SELECT name FROM sqlite_schema ORDER BY name').all()).toEqual(before);
  expect(db.pragma('user_version', { simple: true })).toBe(migrations.length);
  db.close();
});

test('a migration that was changed after it was applied is refused', () => {
  const db = openDatabase(`${tempFolder()}/a.db`);
  migrate(db, migrations, at);
  const changed = migrations.map((m) => ({ ...m, digest: `${m.digest.slice(0, -1)}~` }));
  expect(() => migrate(db, changed, at)).toThrow(/another 001-/);
  db.close();
});

test('a data folder of a newer version is refused and not touched', () => {
  const dir = tempFolder();
  const store = tempStore(dir);
  store.db.pragma('user_version = 99');
  store.close();
  expect(() => openStore({ dir, clock: standingClock() })).toThrow(/newer version/);
  const db = openDatabase(`${dir}/logbook.db`);
  expect(db.pragma('user_version', { simple: true })).toBe(99);
  db.close();
});

test.each([
  ['99.0.0 2026.01.1 1', true],
  [`${packageVersion} 9999.1.1 1`, true],
  [`${packageVersion} ${rulesVersion}0 1`, true],
  ['0.0.9 9999.1.1 1', false],
  [`${packageVersion} 2026.2.28 1`, false],
  ['', false],
])('a data folder in which the list was computed by "%s" is refused: %s', (logic, refused) => {
  const dir = tempFolder();
  const store = tempStore(dir);
  openedJob(store);
  openedJob(store);
  store.db.prepare('UPDATE job_lines SET logic = ? WHERE id = 1').run(logic);
  store.close();
  for (const readOnly of [true, false]) {
    const open = () => openStore({ dir, clock: standingClock(), readOnly }).close();
    if (refused) expect(open).toThrow(/newer version/);
    else expect(open).not.toThrow();
  }
});
