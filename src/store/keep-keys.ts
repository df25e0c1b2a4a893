import type { Result } from '../errors.js';
import type { Author } from '../logbook/entry.js';
import type { ShopEntry } from '../logbook/fold-shop.js';
import type { NewShopEntry } from '../logbook/shop-entry.js';
import type { ShopKeys } from '../record/keys.js';
import type { Store } from './open-store.js';
import type { ShopAppend } from './shop-store.js';

/**
 * The fingerprints by which a record is known as this shop's: those of all its keys ever, and of the roots that it made itself.
 * Under another's root others sign too, so such a root says nothing about this shop.
 */
export function knownFingerprints({ shop, secrets }: Pick<Store, 'shop' | 'secrets'>): string[] {
  return shop
    .state()
    .keys.flatMap(({ fingerprint, rootFingerprint }) =>
      secrets.get(`root-key:${rootFingerprint}`) === undefined
        ? [fingerprint]
        : [fingerprint, rootFingerprint],
    );
}

interface KeysToKeep {
  readonly by: Author;
  readonly keys: ShopKeys;
  /** Why there is a new key, for the shop's own chain. */
  readonly reason: string;
  /** Entries that are written ahead in the same transaction. */
  readonly ahead?: readonly NewShopEntry[];
  /** The form that asks for it: sent twice, it makes one key. */
  readonly form?: ShopAppend['form'];
}

/**
 * Makes these the keys that records are signed with from now on: the certificates in the shop's chain, the private keys as they
 * are encrypted beside it. Every earlier key stays on record, so that what it signed is still known as this shop's.
 */
export function keepKeys(
  { shop, secrets }: Pick<Store, 'shop' | 'secrets'>,
  { by, keys, reason, ahead = [], form }: KeysToKeep,
): Result<readonly ShopEntry[]> {
  const { fingerprint, rootFingerprint, certificate, root, encryptedKey, encryptedRootKey } = keys;
  const body = { fingerprint, rootFingerprint, certificate, root, reason };
  return shop.append({
    by,
    ...(form === undefined ? {} : { form }),
    decide: () => ({ ok: true, value: [...ahead, { kind: 'key made', subject: fingerprint, body }] }),
    also: () => {
      secrets.put(`key:${fingerprint}`, encryptedKey);
      if (encryptedRootKey !== undefined) secrets.put(`root-key:${rootFingerprint}`, encryptedRootKey);
    },
  });
}
