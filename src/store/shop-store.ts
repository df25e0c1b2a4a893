import type { Result } from '../errors.js';
import { type Link, seal } from '../logbook/chain.js';
import type { Author } from '../logbook/entry.js';
import { foldShop, type Shop, type ShopEntry } from '../logbook/fold-shop.js';
import { type NewShopEntry, shopBodies } from '../logbook/shop-entry.js';
import { prepared, type Sql } from './database.js';
import { noteForm, requireKey, type SentForm, type WrittenByForm, writtenByForm } from './form-keys.js';
import { addHead, shopChain } from './heads.js';
import { entriesOf, readShopEntries } from './sealed-entries.js';
import type { Guard } from './write-guard.js';

export interface ShopAppend {
  readonly by: Author;
  readonly decide: (shop: Shop, now: string) => Result<NewShopEntry[]>;
  /** Runs in the same transaction, after the entries: a passphrase hash, an encrypted key. */
  readonly also?: (at: string) => void;
  readonly at?: string;
  /** The form that asks for it: sent twice, it gets the entries of the first time and nothing runs again. */
  readonly form?: Pick<SentForm, 'key' | 'content'>;
}

export interface ShopStore {
  /** The shop as its entries leave it now. */
  state(): Shop;
  append(command: ShopAppend): Result<readonly ShopEntry[]>;
}

export function makeShopStore(db: Sql, guard: Guard): ShopStore {
  let cached: { shop: Shop; newest: string | undefined } | undefined;
  // What is cached is what is committed, and nothing was written since: every request asks several times.
  let settled = false;
  const state = (): Shop => {
    if (settled && cached !== undefined) return cached.shop;
    const last = prepared(db, `SELECT digest ${telling} ORDER BY seq DESC LIMIT 1`).get() as
      | { digest: string }
      | undefined;
    if (cached === undefined || cached.newest !== last?.digest) {
      const rows = prepared(db, `SELECT * ${telling} ORDER BY seq`).all();
      cached = { shop: foldShop(entriesOf(rows)), newest: last?.digest };
    }
    settled = !db.inTransaction;
    return cached.shop;
  };
  return {
    state,
    append: (command) =>
      guard.write((now) => {
        const shop = state();
        const at = command.at ?? now;
        const form = command.form && { ...command.form, by: command.by, chain: shopChain };
        if (form !== undefined) {
          requireKey(form.key);
          const earlier = writtenByForm(db, form);
          if (earlier !== undefined) return { ok: true, value: entriesIn(db, earlier) };
        }
        const decided = command.decide(shop, at);
        if (!decided.ok) return decided;
        settled = false;
        const [end] = readShopEntries(db, 1);
        const entries = writeShopEntries(db, command.by, end, decided.value, at);
        command.also?.(at);
        const [first, last] = [entries[0], entries.at(-1)];
        if (form !== undefined && first !== undefined && last !== undefined)
          noteForm(db, form, { first: first.seq, last: last.seq }, now);
        return { ok: true, value: entries };
      }),
  };
}

/** The entries that say what the shop is: an opening of a job, of which there may be a hundred thousand, says nothing of it. */
const telling = "FROM shop_entries WHERE kind <> 'job opened'";

function entriesIn(db: Sql, { first, last }: WrittenByForm): ShopEntry[] {
  const rows = db
    .prepare('SELECT * FROM shop_entries WHERE seq BETWEEN ? AND ? ORDER BY seq')
    .all(first, last);
  return entriesOf(rows);
}

function writeShopEntries(
  db: Sql,
  by: Author,
  after: Link | undefined,
  proposals: readonly NewShopEntry[],
  at: string,
): ShopEntry[] {
  const insert = db.prepare(
    `INSERT INTO shop_entries (seq, at, by_id, by_name, kind, subject, body, previous, digest)
     VALUES (@seq, @at, @byId, @byName, @kind, @subject, @body, @previous, @digest)`,
  );
  let last = after;
  return proposals.map((proposal) => {
    const body: unknown = JSON.parse(JSON.stringify(shopBodies[proposal.kind].parse(proposal.body)));
    const entry = seal(
      { at, by: { id: by.id, name: by.name }, kind: proposal.kind, subject: proposal.subject, body },
      last,
    ) as unknown as ShopEntry;
    insert.run({ ...entry, byId: by.id, byName: by.name, body: JSON.stringify(entry.body) });
    addHead(db, shopChain, entry.seq, entry.digest);
    last = entry;
    return entry;
  });
}
