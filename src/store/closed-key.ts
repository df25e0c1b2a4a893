import { AppError } from '../errors.js';
import type { ShopBody } from '../logbook/shop-entry.js';
import { openSigner } from '../record/keys.js';
import type { Sql } from './database.js';
import { readShopSecret, secretName } from './shop-secret.js';
import { isDamage } from './sql-error.js';
import type { Finding } from './upkeep/finding.js';

/** What keeps the key that signs closed in this folder: no fault of the logbook, but no record can be issued in it. */
export function* closedKey(db: Sql, dir: string): Generator<Finding> {
  const key = keyIn(db);
  if (key === undefined) return;
  try {
    const secret = readShopSecret(dir);
    if (secret === undefined)
      return yield { table: secretName, row: '', what: 'is not there; it opens the key that signs' };
    openSigner({ ...key, secret: secret.keyPassphrase });
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    yield { table: secretName, row: '', what: error.message };
  }
}

/** The key in force, where it can be read at all: what is wrong with its rows is told by `findings`. */
function keyIn(db: Sql) {
  try {
    const row = db
      .prepare(
        `SELECT e.body, s.value FROM shop_entries AS e JOIN secrets AS s ON s.name = 'key:' || e.subject
         WHERE e.kind = 'key made' ORDER BY e.seq DESC LIMIT 1`,
      )
      .get() as { body: string; value: string } | undefined;
    if (row === undefined) return undefined;
    const { certificate, root } = JSON.parse(row.body) as ShopBody<'key made'>;
    return { certificate, root, encryptedKey: row.value };
  } catch (error) {
    if (isDamage(error) || error instanceof SyntaxError) return undefined;
    if ((error as { code?: unknown }).code === 'SQLITE_ERROR') return undefined;
    throw error;
  }
}
