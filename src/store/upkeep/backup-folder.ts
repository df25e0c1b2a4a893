import { mkdirSync, readdirSync, rmSync } from 'node:fs';
import { chainStart } from '../../logbook/chain.js';
import type { Sql } from '../database.js';
import { madeIn } from './work-folder.js';

/** Where backups go by themselves, how often, and how many of them stay. */
export interface BackupPlan {
  readonly dir: string;
  readonly everyHours: number;
  readonly keep: number;
}

/** A backup by the plan, and when it was made. */
export interface PlannedBackup {
  readonly file: string;
  readonly at: string;
}

/**
 * One shop's backups in a folder that other shops may use too: a file's name says when it was made and by which shop
 * (`shopMark`). What another shop keeps there, or a person, is never touched.
 */
export interface BackupFolder {
  /** The name of a backup that is made now. */
  nameAt(now: Date): string;
  /**
   * This shop's backups, oldest first; none where the folder cannot be read. What is dated later than now was made by a clock that went
   * wrong: it is no newest one, or none would be made until that day, and each that is made would go before it.
   */
  list(now: Date): PlannedBackup[];
  /** Makes the folder, and takes away what backups of this shop that were cut off have left in it. */
  prepare(): void;
  /** Lets the oldest go, until as many stay as the plan says, beside those that are dated later than now. */
  letOldestGo(now: Date): void;
}

const name = /^inlet-(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)Z-([0-9a-f]{8})\.backup$/;

/** Which shop a store is, for a file's name: the beginning of the first head over its logbooks. It opens nothing. */
export function shopMark(db: Sql): string {
  const first = db.prepare('SELECT head FROM heads WHERE n = 1').pluck().get() as string | undefined;
  return (first ?? chainStart).slice(0, 8);
}

/** The folder of a plan, for the shop with this mark. */
export function backupFolder({ dir, keep }: BackupPlan, mark: () => string): BackupFolder {
  const list = (now: Date) => {
    const mine = mark();
    return namesIn(dir)
      .filter((file) => name.exec(file)?.[7] === mine)
      .sort()
      .map((file) => ({ file, at: file.replace(name, '$1-$2-$3T$4:$5:$6.000Z') }))
      .filter(({ at }) => Date.parse(at) <= now.getTime());
  };
  return {
    nameAt: (now) => `inlet-${now.toISOString().replace(/[-:]|\.\d+/g, '')}-${mark()}.backup`,
    list,
    prepare() {
      mkdirSync(dir, { recursive: true, mode: 0o700 });
      const mine = mark();
      for (const found of namesIn(dir))
        if (name.exec(madeIn(found) ?? '')?.[7] === mine)
          rmSync(`${dir}/${found}`, { recursive: true, force: true });
    },
    letOldestGo(now) {
      for (const { file } of list(now).slice(0, -keep)) rmSync(`${dir}/${file}`, { force: true });
    },
  };
}

function namesIn(dir: string): string[] {
  try {
    return readdirSync(dir);
  } catch {
    return [];
  }
}
