import { AppError } from '../errors.js';
import { mustHoldAt, openSigner, type Signer } from '../record/keys.js';
import type { Store } from './open-store.js';

/** The signer whose key the shop made last. Throws AppError `bad-file` where it has none, or its secret does not open it. */
export function openShopSigner(store: Store): Signer {
  const { key } = store.shop.state();
  const encryptedKey = key === undefined ? undefined : store.secrets.get(`key:${key.fingerprint}`);
  if (key === undefined || encryptedKey === undefined)
    throw new AppError('bad-file', 'The shop has no signing key that can be opened.');
  const { certificate, root } = key;
  try {
    return openSigner({ certificate, root, encryptedKey, secret: store.secret.keyPassphrase });
  } catch (cause) {
    if (!(cause instanceof AppError) || cause.code !== 'bad-file') throw cause;
    throw new AppError('bad-file', `${cause.message} ${whatToDo}`, { cause });
  }
}

const whatToDo =
  'Put back the shop.secret that belongs to this logbook, or let a keeper make a new signing key on the page of the shop: what was signed before stays as it is.';

/** Why no record can be signed at a time although the shop has a key: told before somebody wants one. Undefined where one can. */
export function signingFault(
  store: Store,
  now: Date,
  signer: () => Signer = () => openShopSigner(store),
): string | undefined {
  if (store.shop.state().key === undefined) return undefined;
  try {
    mustHoldAt(signer(), now);
    return undefined;
  } catch (error) {
    if (error instanceof AppError) return error.message;
    throw error;
  }
}
