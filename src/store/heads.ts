import { chainStart } from '../logbook/chain.js';
import { sha256Of } from '../logbook/sha256.js';
import { prepared, type Sql } from './database.js';

/** The name of the shop's own chain among the heads; a job's chain goes by the job's number. */
export const shopChain = 'shop';

export interface HeadRow {
  readonly n: number;
  readonly chain: string;
  readonly seq: number;
  readonly digest: string;
  readonly head: string;
}

/** Adds an entry's digest to the one head over all chains. Call it in the transaction that writes the entry. */
export function addHead(db: Sql, chain: string, seq: number, digest: string): void {
  const last = lastHead(db);
  const head = headOver(last?.head, digest);
  prepared(db, 'INSERT INTO heads (n, chain, seq, digest, head) VALUES (?, ?, ?, ?, ?)').run(
    (last?.n ?? 0) + 1,
    chain,
    seq,
    digest,
    head,
  );
}

/** The newest head, or undefined in an empty store. */
export function lastHead(db: Sql): HeadRow | undefined {
  return prepared(db, 'SELECT * FROM heads ORDER BY n DESC LIMIT 1').get() as HeadRow | undefined;
}

/** The head over all chains once the entry with this digest is written. */
export function headOver(before: string | undefined, digest: string): string {
  return sha256Of(`${before ?? chainStart}${digest}`);
}

export function chainName(chain: string): string {
  return chain === shopChain ? 'the shop’s logbook' : `the logbook of job ${chain}`;
}
