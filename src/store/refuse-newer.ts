import { AppError } from '../errors.js';
import { packageVersion } from '../package-root.js';
import { rulesVersion } from '../trade/rules-version.js';
import type { Sql } from './database.js';
import { ownMigrations } from './migrate.js';
import { isDamage } from './sql-error.js';

/**
 * Throws `store-newer` for a database of a newer version of this program: by its migrations or, where those are the same, by the list of
 * jobs, each line of which names the version and the rules that computed it. What a newer one let in may say what this one has no word
 * for, a finding about an instrument perhaps, and a record issued over it would pass what is in question.
 */
export function refuseNewer(db: Sql): void {
  const known = ownMigrations().length;
  const version = db.pragma('user_version', { simple: true }) as number;
  if (version > known) throw new AppError('store-newer');
  if (version < known) return;
  if (computedBy(db).some((logic) => isNewer(logic.split(' ')))) throw new AppError('store-newer');
}

/**
 * Each once, from one to the next in their index: there are a few, and a hundred thousand lines. Nothing where it cannot be read: what is
 * damaged is told by whoever looks through the store.
 */
function computedBy(db: Sql): string[] {
  try {
    return db.prepare(eachLogic).pluck().all() as string[];
  } catch (error) {
    if (isDamage(error) || (error as { code?: unknown }).code === 'SQLITE_ERROR') return [];
    throw error;
  }
}

const eachLogic = `
  WITH RECURSIVE each(logic) AS (
    SELECT min(logic) FROM job_lines
    UNION ALL
    SELECT (SELECT min(logic) FROM job_lines AS other WHERE other.logic > each.logic) FROM each WHERE logic IS NOT NULL
  )
  SELECT logic FROM each WHERE logic IS NOT NULL`;

function isNewer([program = '', rules = '']: readonly string[]): boolean {
  return (compared(program, packageVersion) || compared(rules, rulesVersion)) > 0;
}

/** Above 0 where the first is the later of two versions such as 0.1.0 or 2026.11.10, below where it is the earlier; 0 where it is none. */
function compared(one: string, other: string): number {
  if (!/^\d+(\.\d+){2}$/.test(one)) return 0;
  const mine = other.split('.').map(Number);
  const apart = one.split('.').map((part, k) => Number(part) - (mine[k] ?? 0));
  return apart.find((difference) => difference !== 0) ?? 0;
}
