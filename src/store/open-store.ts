import { existsSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname } from 'node:path';
import { AppError } from '../errors.js';
import { giveToOwner, readyFolder } from './data-folder.js';
import { openDatabase, type Sql } from './database.js';
import { writeHeads } from './heads-file.js';
import { type JobLines, makeJobLines } from './job-lines.js';
import { type JobStore, makeJobStore } from './job-store.js';
import { type LogbookStore, makeLogbookStore } from './logbook-store.js';
import { migrate, ownMigrations } from './migrate.js';
import { holdFolder } from './one-writer.js';
import { databaseName, headsName, openingError } from './open-beside.js';
import { type AccessStore, makeAccessStore } from './people/access-store.js';
import { makeSecretStore, type SecretStore } from './people/secret-store.js';
import { makeSessionStore, type SessionStore } from './people/session-store.js';
import { makePhotoStore, type PhotoStore } from './photo-store.js';
import { makeRecordStore, type RecordStore } from './record-store.js';
import { refuseNewer } from './refuse-newer.js';
import { openShopSecret, readShopSecret, type ShopSecret } from './shop-secret.js';
import { makeShopStore, type ShopStore } from './shop-store.js';
import { isNoRoom, whereThereIsRoom } from './sql-error.js';
import { syncFile, syncFolder } from './sync-folder.js';
import { startFault } from './upkeep/start-check.js';
import { makeGuard } from './write-guard.js';

/** All that a shop keeps, in one data folder: the database, its newest heads and the shop's secret. */
export interface Store {
  readonly dir: string;
  /** Why nothing more is written, or undefined where all is well. Reading goes on either way. */
  readonly broken: string | undefined;
  /** What the older version's database was kept as, where this start brought the folder up to this version. */
  readonly keptBefore?: string | undefined;
  /** Nothing more is written from now on, for this reason. */
  closeForWriting(why: string): void;
  readonly secret: ShopSecret;
  readonly jobs: JobStore;
  readonly lines: JobLines;
  readonly logbook: LogbookStore;
  readonly shop: ShopStore;
  readonly photos: PhotoStore;
  readonly records: RecordStore;
  readonly secrets: SecretStore;
  readonly sessions: SessionStore;
  readonly access: AccessStore;
  readonly db: Sql;
  /** Several writes as one: all of them stay, or none. `work` must not wait for anything. */
  transact<T>(work: () => T): T;
  close(): void;
}

interface OpenStore {
  readonly dir: string;
  readonly clock: () => Date;
  /** Reads beside a running server; nothing can be written. */
  readonly readOnly?: boolean;
}

/**
 * Opens a data folder, making it where it does not exist. A store that disagrees with its own digests opens for
 * reading and says so in `broken`; a newer one, or one that another process writes, is refused.
 */
export function openStore({ dir, clock, readOnly = false }: OpenStore): Store {
  const file = `${dir}/${databaseName}`;
  if (readOnly && !existsSync(file)) throw new AppError('bad-argument', `There is no logbook in ${dir}.`);
  if (!readOnly) readyFolder(dir);
  let hold: ReturnType<typeof holdFolder> | undefined;
  let db: Sql | undefined;
  let keptBefore: string | undefined;
  try {
    if (!readOnly) hold = holdFolder(dir);
    db = openDatabase(file, { readOnly });
    refuseNewer(db);
    if (!readOnly) {
      const copyFirst = (version: number) => {
        keptBefore = beforeName(version);
        copyOf(db as Sql, `${dir}/${keptBefore}`);
      };
      migrate(db, ownMigrations(), clock().toISOString(), copyFirst);
    }
    const heads = `${dir}/${headsName}`;
    const fault = startFault(db, heads);
    if (!readOnly && fault === undefined) writeHeads(db, heads);
    const broken = readOnly ? 'the data folder is open for reading only' : fault;
    const store = assemble(dir, db, clock, broken, hold);
    if (!readOnly) giveToOwner(dir);
    return Object.assign(store, { keptBefore });
  } catch (error) {
    db?.close();
    hold?.release();
    throw openingError(file, error);
  }
}

/** What an older version's database is kept as, whole, before this version changes it. */
export function beforeName(version: number): string {
  return `logbook-before-${String(version + 1).padStart(3, '0')}.db`;
}

const sizeText = (file: string) => `${Math.ceil(statSync(file).size / 1024 / 1024)} MB`;

function copyOf(db: Sql, file: string): void {
  // A copy that an earlier try left may be half of one.
  rmSync(`${file}.part`, { force: true });
  try {
    db.prepare('VACUUM INTO ?').run(`${file}.part`);
    syncFile(`${file}.part`);
  } catch (cause) {
    rmSync(`${file}.part`, { force: true });
    if (!isNoRoom(cause)) throw cause;
    throw new AppError(
      'store-full',
      `The data folder comes from an earlier version. Its database is kept whole beside before it is brought up, and the disk has no room for that copy (${sizeText(db.name)}), or is failing. Nothing was changed. Make room on it, then start again.`,
      { cause },
    );
  }
  renameSync(`${file}.part`, file);
  syncFolder(dirname(file));
}

function assemble(
  dir: string,
  db: Sql,
  clock: () => Date,
  broken: string | undefined,
  hold: { release(): void } | undefined,
): Store {
  const guard = makeGuard(db, `${dir}/${headsName}`, clock, broken);
  const photos = makePhotoStore(db, guard);
  const records = makeRecordStore(db, guard);
  const lines = makeJobLines(db, guard, (job) => logbook.log(job));
  const logbook: LogbookStore = makeLogbookStore(db, guard, { photos, records, putLine: lines.put });
  const shop = makeShopStore(db, guard);
  const kept = hold === undefined ? undefined : openShopSecret(dir);
  const secret = () => kept ?? readShopSecret(dir) ?? noSecret(dir);
  return {
    dir,
    get broken() {
      return guard.broken;
    },
    closeForWriting: (why) => guard.close(why),
    get secret() {
      return secret();
    },
    jobs: makeJobStore(db, guard, logbook, shop),
    lines,
    logbook,
    shop,
    photos,
    records,
    secrets: makeSecretStore(db, guard),
    sessions: makeSessionStore(db, guard, clock),
    access: makeAccessStore(db, guard, clock),
    db,
    transact: (work) => guard.write(() => work()),
    close() {
      if (!db.open) return;
      // What a full disk does not take now stays in the log beside the database until the next start.
      if (hold !== undefined) whereThereIsRoom(() => db.pragma('wal_checkpoint(TRUNCATE)'));
      db.close();
      hold?.release();
    },
  };
}

function noSecret(dir: string): never {
  throw new AppError(
    'bad-file',
    `There is no shop.secret in ${dir}; without it the shop’s key stays closed.`,
  );
}
