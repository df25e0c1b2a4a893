import { AppError } from '../errors.js';
import { canonicalJson, type Json } from '../logbook/canonical.js';
import type { Author } from '../logbook/entry.js';
import { sha256Of } from '../logbook/sha256.js';
import { prepared, type Sql } from './database.js';

/** A form as it was sent: who sent it, to which chain, under which key, and what it said. */
export interface SentForm {
  readonly by: Author;
  /** The job's number, or the name of the shop's own chain. */
  readonly chain: string;
  /** 8 to 64 letters, digits, `-` or `_`. */
  readonly key: string;
  /** What the form said, without its tokens: the same key with other content is refused. */
  readonly content: unknown;
}

/** The entries that a form wrote, by their numbers in their chain. */
export interface WrittenByForm {
  readonly first: number;
  readonly last: number;
}

/** Throws `form-invalid` for a form without a proper key. */
export function requireKey(key: string): void {
  if (!/^[A-Za-z0-9_-]{8,64}$/.test(key))
    throw new AppError('form-invalid', 'The form came without its key.');
}

/**
 * What this form wrote when it came before; undefined where it is new. A key is a person's own, for one chain and one
 * content: throws `form-key-reused` where it comes back with another.
 */
export function writtenByForm(db: Sql, { by, chain, key, content }: SentForm): WrittenByForm | undefined {
  const used = prepared(
    db,
    'SELECT job, fingerprint, first_seq, last_seq FROM form_keys WHERE person = ? AND form_key = ?',
  ).get(by.id, key) as { job: string; fingerprint: string; first_seq: number; last_seq: number } | undefined;
  if (used === undefined) return undefined;
  if (used.job !== chain || used.fingerprint !== fingerprintOf(content))
    throw new AppError('form-key-reused');
  return { first: used.first_seq, last: used.last_seq };
}

/** Keeps what a form wrote; call it in the transaction that writes the entries. */
export function noteForm(
  db: Sql,
  { by, chain, key, content }: SentForm,
  { first, last }: WrittenByForm,
  at: string,
): void {
  prepared(
    db,
    `INSERT INTO form_keys (person, form_key, job, fingerprint, first_seq, last_seq, at)
     VALUES (?, ?, ?, ?, ?, ?, ?)`,
  ).run(by.id, key, chain, fingerprintOf(content), first, last, at);
}

/** SHA-256 over the canonical text of what a form said. */
export function fingerprintOf(content: unknown): string {
  return sha256Of(canonicalJson(JSON.parse(JSON.stringify(content ?? null)) as Json));
}
