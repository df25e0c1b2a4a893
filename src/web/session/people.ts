import { randomBytes } from 'node:crypto';
import type { Result } from '../../errors.js';
import type { Author } from '../../logbook/entry.js';
import type { Person } from '../../logbook/fold-shop.js';
import type { ShopBody } from '../../logbook/shop-entry.js';
import { addPerson } from '../../logbook/shop-rules.js';
import type { Store } from '../../store/open-store.js';
import { hashPassphrase } from '../../store/people/passphrase.js';
import type { ShopAppend } from '../../store/shop-store.js';

/** Adds a person with a passphrase, both in one transaction. Used by the set-up, the people's page and the demonstration. */
export async function addPersonWithPassphrase(
  store: Store,
  wish: {
    by: Author | 'self';
    person: { name: string; signIn: string; roles: readonly string[]; vouchedBy?: string };
    passphrase: string;
    how: 'set-up' | 'one-time';
    id?: string;
    /** The form that asks for it: sent twice, it answers with the person of the first time. */
    form?: ShopAppend['form'];
  },
): Promise<Result<Person>> {
  const id = wish.id ?? newId();
  const hash = await hashPassphrase(wish.passphrase);
  const by = wish.by === 'self' ? { id, name: wish.person.name.trim() } : wish.by;
  const written = store.shop.append({
    by,
    ...(wish.form === undefined ? {} : { form: wish.form }),
    decide: (shop) => {
      const added = addPerson(shop, id, wish.person);
      if (!added.ok) return added;
      return {
        ok: true,
        value: [...added.value, { kind: 'passphrase set', subject: id, body: { how: wish.how } }],
      };
    },
    also: (at) => store.secrets.put(`passphrase:${id}`, keptPassphrase(hash, wish.how, at)),
  });
  if (!written.ok) return written;
  const added = written.value.find((entry) => entry.kind === 'person added')?.subject ?? id;
  return { ok: true, value: store.shop.state().people.find((p) => p.id === added) as Person };
}

/** Sets a person's passphrase and ends their other sessions. */
export async function setPassphrase(
  store: Store,
  wish: {
    by: Author;
    person: string;
    passphrase: string;
    how: 'own' | 'one-time' | 'at-the-machine';
    exceptSession?: string;
  },
): Promise<void> {
  const hash = await hashPassphrase(wish.passphrase);
  store.shop.append({
    by: wish.by,
    decide: () => ({
      ok: true,
      value: [{ kind: 'passphrase set', subject: wish.person, body: { how: wish.how } }],
    }),
    also: (at) => store.secrets.put(`passphrase:${wish.person}`, keptPassphrase(hash, wish.how, at)),
  });
  store.sessions.endAll(wish.person, wish.exceptSession);
}

/** A passphrase that another gave is good for three days, so that a slip of paper does not open the shop for ever, ms. */
const givenLastsMs = 72 * 3_600_000;

export interface KeptPassphrase {
  readonly hash: string;
  /** It was given by a keeper, or at the machine, and is changed at the next sign-in. */
  readonly mustChange: boolean;
  /** When a given one runs out, ms; undefined for a person's own. */
  readonly untilMs: number | undefined;
}

/** What is kept of a person's passphrase; undefined where there is none, as after a restore. */
export function passphraseOf(store: Store, person: string): KeptPassphrase | undefined {
  const kept = store.secrets.get(`passphrase:${person}`);
  if (kept === undefined) return undefined;
  const [, until, hash] = /^once:(?:(\d+):)?(.*)$/.exec(kept) ?? [];
  if (hash === undefined) return { hash: kept, mustChange: false, untilMs: undefined };
  return { hash, mustChange: true, untilMs: until === undefined ? undefined : Number(until) };
}

/** The text under which a hash is kept; `at` is when it was set, ISO 8601. */
function keptPassphrase(hash: string, how: ShopBody<'passphrase set'>['how'], at: string): string {
  const own = how === 'own' || how === 'set-up';
  return own ? hash : `once:${Date.parse(at) + givenLastsMs}:${hash}`;
}

/** The same passphrase under today's cost. */
export async function keepAnew(store: Store, person: string, passphrase: string): Promise<void> {
  const hash = await hashPassphrase(passphrase);
  const { mustChange = false, untilMs } = passphraseOf(store, person) ?? {};
  const until = untilMs === undefined ? '' : `${untilMs}:`;
  store.secrets.put(`passphrase:${person}`, mustChange ? `once:${until}${hash}` : hash);
}

/** A permanent id for a person or an instrument: it says nothing and is never used again. */
export function newId(): string {
  return randomBytes(6).toString('hex');
}
