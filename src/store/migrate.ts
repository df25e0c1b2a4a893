import { readdirSync, readFileSync } from 'node:fs';
import { AppError } from '../errors.js';
import { sha256Of } from '../logbook/sha256.js';
import { packageRoot } from '../package-root.js';
import type { Sql } from './database.js';

export interface Migration {
  readonly number: number;
  readonly name: string;
  readonly sql: string;
  readonly digest: string;
}

let own: readonly Migration[] | undefined;

/** The migrations of this program, read once: no running program gets others. */
export function ownMigrations(): readonly Migration[] {
  own ??= readMigrations(`${packageRoot}/migrations`);
  return own;
}

/** The migrations in a folder, in order. They are numbered from 001 without a gap. */
export function readMigrations(folder: string): Migration[] {
  const names = readdirSync(folder)
    .filter((name) => /^\d{3}-[a-z0-9-]+\.sql$/.test(name))
    .sort();
  return names.map((name, k) => {
    const number = Number(name.slice(0, 3));
    if (number !== k + 1) throw new AppError('unexpected', `migration ${name} is out of its place`);
    const sql = readFileSync(`${folder}/${name}`, 'utf8');
    return { number, name, sql, digest: sha256Of(sql) };
  });
}

/**
 * Brings a database up to the newest migration, one transaction each, and says how many were applied. A database from
 * a newer version, or one whose applied migrations are not the ones here, is refused and left as it was. `copyFirst` is
 * called before an older version's data are changed, with the number of its newest migration.
 */
export function migrate(
  db: Sql,
  migrations: readonly Migration[],
  at: string,
  copyFirst: (version: number) => void = () => undefined,
): number {
  const version = db.pragma('user_version', { simple: true }) as number;
  if (version > migrations.length) throw new AppError('store-newer');
  if (version > 0) refuseChanged(db, migrations.slice(0, version));
  const pending = migrations.slice(version);
  if (version > 0 && pending.length > 0) copyFirst(version);
  for (const migration of pending) apply(db, migration, at);
  return pending.length;
}

function refuseChanged(db: Sql, applied: readonly Migration[]): void {
  const recorded = db.prepare('SELECT number, digest FROM migrations ORDER BY number').all() as {
    number: number;
    digest: string;
  }[];
  for (const migration of applied) {
    if (recorded.find((row) => row.number === migration.number)?.digest !== migration.digest) {
      throw new AppError(
        'unexpected',
        `The database was made with another ${migration.name} than the one in this program; nothing was changed.`,
      );
    }
  }
}

function apply(db: Sql, migration: Migration, at: string): void {
  db.transaction(() => {
    db.exec(`CREATE TABLE IF NOT EXISTS migrations (
      number INTEGER NOT NULL PRIMARY KEY, name TEXT NOT NULL, digest TEXT NOT NULL, at TEXT NOT NULL
    ) STRICT`);
    db.exec(migration.sql);
    db.prepare('INSERT INTO migrations (number, name, digest, at) VALUES (?, ?, ?, ?)').run(
      migration.number,
      migration.name,
      migration.digest,
      at,
    );
    if ((db.pragma('foreign_key_check') as unknown[]).length > 0) {
      throw new AppError('unexpected', `${migration.name} would leave a row without the row it belongs to`);
    }
    const sound = db.pragma('integrity_check(1)', { simple: true });
    if (sound !== 'ok')
      throw new AppError('unexpected', `${migration.name} would leave the file damaged: ${sound}`);
    db.pragma(`user_version = ${migration.number}`);
  }).immediate();
}
