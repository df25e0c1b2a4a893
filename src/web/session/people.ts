import { randomBytes } from 'node:crypto';
import { AppError, type Result } from '../../errors.js';
import type { Author } from '../../logbook/entry.js';
import type { Person } from '../../logbook/fold-shop.js';
import type { ShopBody } from '../../logbook/shop-entry.js';
import { addPerson } from '../../logbook/shop-rules.js';
import type { Store } from '../../store/open-store.js';
import { checkPassphrase, hashPassphrase } from '../../store/people/passphrase.js';
import type { ShopAppend } from '../../store/shop-store.js';

/** Adds a person with a passphrase, both in one transaction. Used by the set-up, the people's page and the demonstration. Throws as `setPassphrase`. */
export async function addPersonWithPassphrase(
  store: Store,
  wish: {
    by: Author | 'self';
    person: { name: string; signIn: string; roles: readonly string[]; vouchedBy?: string };
    passphrase: string;
    how: 'set-up' | 'one-time';
    id?: string;
    session?: string;
    /** The form that asks for it: sent twice, it answers with the person of the first time. */
    form?: ShopAppend['form'];
  },
): Promise<Result<Person>> {
  const id = wish.id ?? newId();
  const hash = await hashPassphrase(wish.passphrase);
  refuseEnded(store, wish.session);
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

/**
 * Sets a person's passphrase and ends their sessions, but for the one in which they chose it themselves. Throws `not-signed-in` where the
 * `session` in which it is asked for was ended on the way: its hash takes time, and longer where others wait.
 */
export async function setPassphrase(
  store: Store,
  wish: {
    by: Author;
    person: string;
    passphrase: string;
    how: 'own' | 'one-time' | 'at-the-machine';
    session?: string;
  },
): Promise<void> {
  const hash = await hashPassphrase(wish.passphrase);
  refuseEnded(store, wish.session);
  store.shop.append({
    by: wish.by,
    decide: () => ({
      ok: true,
      value: [{ kind: 'passphrase set', subject: wish.person, body: { how: wish.how } }],
    }),
    also: (at) => store.secrets.put(`passphrase:${wish.person}`, keptPassphrase(hash, wish.how, at)),
  });
  store.sessions.endAll(wish.person, wish.how === 'own' ? wish.session : undefined);
}

function refuseEnded({ sessions }: Store, session: string | undefined): void {
  if (session !== undefined && sessions.handleOf(session) === undefined) throw new AppError('not-signed-in');
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

/**
 * Whether this is the person's passphrase, and what is kept of the one it was held against: of the one that stands when that is known, since
 * another may be set meanwhile. With no person the same work is done, and the answer is no.
 */
export async function tryPassphrase(
  store: Store,
  person: string | undefined,
  typed: string,
  { ahead }: { ahead: boolean },
): Promise<{ right: boolean; stale: boolean; kept: KeptPassphrase | undefined }> {
  const keptNow = () => (person === undefined ? undefined : passphraseOf(store, person));
  for (;;) {
    const kept = keptNow();
    const found = await checkPassphrase(typed, kept?.hash, { ahead });
    if (keptNow()?.hash === kept?.hash) return { ...found, kept };
  }
}

/** The same passphrase under today's cost; another that was set meanwhile stays. */
export async function keepAnew(
  store: Store,
  person: string,
  passphrase: string,
  { hash: before, mustChange, untilMs }: KeptPassphrase,
): Promise<void> {
  const hash = await hashPassphrase(passphrase);
  if (passphraseOf(store, person)?.hash !== before) return;
  const until = untilMs === undefined ? '' : `${untilMs}:`;
  store.secrets.put(`passphrase:${person}`, mustChange ? `once:${until}${hash}` : hash);
}

/** A permanent id for a person or an instrument: it says nothing and is never used again. */
export function newId(): string {
  return randomBytes(6).toString('hex');
}
