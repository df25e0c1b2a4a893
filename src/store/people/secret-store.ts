import { prepared, type Sql } from '../database.js';
import type { Guard } from '../write-guard.js';

/** Passphrase hashes (`passphrase:<person>`) and encrypted private keys (`key:<fingerprint>`). These may change. */
export interface SecretStore {
  put(name: string, value: string): void;
  get(name: string): string | undefined;
  remove(name: string): void;
}

export function makeSecretStore(db: Sql, guard: Guard): SecretStore {
  return {
    put(name, value) {
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
      const row = prepared(db, 'SELECT value FROM secrets WHERE name = ?').get(name) as
        | { value: string }
        | undefined;
      return row?.value;
    },
    remove(name) {
      guard.write(() => db.prepare('DELETE FROM secrets WHERE name = ?').run(name));
    },
  };
}
