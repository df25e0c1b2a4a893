import { prepared, type Sql } from '../database.js';
import type { Guard } from '../write-guard.js';

/** Passphrase hashes (`passphrase:<person>`) and encrypted private keys (`key:<fingerprint>`). These may change. */
export interface SecretStore {
  put(name: string, value: string): void;
  get(name: string): string | undefined;
}

export function makeSecretStore(db: Sql, guard: Guard): SecretStore {
  // As they stand in the database: every request asks whether its person's passphrase is their own. Whatever writes forgets them all.
  const known = new Map<string, string | undefined>();
  return {
    put(name, value) {
      known.clear();
      guard.write((now) =>
        db
          .prepare(
            `INSERT INTO secrets (name, value, at) VALUES (?, ?, ?)
             ON CONFLICT (name) DO UPDATE SET value = excluded.value, at = excluded.at`,
          )
          .run(name, value, now),
      );
    },
    get(name) {
      if (known.has(name)) return known.get(name);
      const row = prepared(db, 'SELECT value FROM secrets WHERE name = ?').get(name) as
        | { value: string }
        | undefined;
      if (!db.inTransaction) known.set(name, row?.value);
      return row?.value;
    },
  };
}
