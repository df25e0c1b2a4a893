import type { Config } from '../config.js';
import type { Signer } from '../record/keys.js';
import type { TimestampAuthority } from '../record/timestamp-authority.js';
import type { Store } from '../store/open-store.js';
import type { Upkeep } from '../store/upkeep.js';
import type { KeptPages } from './kept-page.js';
import type { SetUpToken } from './set-up-token.js';

/** What every page may use. Pages take it as an argument; nothing is looked up from elsewhere. */
export interface Services {
  readonly config: Pick<Config, 'https'> & Partial<Pick<Config, 'address'>>;
  readonly store: Store;
  readonly clock: () => Date;
  /** Opens the shop's signing key; throws AppError `bad-file` where it cannot be opened. */
  readonly signer: () => Signer;
  readonly setUp: SetUpToken;
  readonly keptPages: KeptPages;
  /** Looks through the store and backs it up by itself; only where the app is served for good. */
  readonly upkeep?: Upkeep | undefined;
  /** Asked for a timestamp on every record, where the shop has one. */
  readonly authority?: TimestampAuthority | undefined;
}
