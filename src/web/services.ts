import type { Config } from '../config.js';
import type { Signer } from '../record/keys.js';
import type { Issuer } from '../store/issue-apart.js';
import type { Store } from '../store/open-store.js';
import type { Upkeep } from '../store/upkeep/upkeep.js';
import type { KeptForms } from './page/kept-forms.js';
import type { KeptPages } from './page/kept-pages.js';
import type { SaidOnce } from './session/said-once.js';
import type { SetUpToken } from './session/set-up-token.js';
import type { ShownOnce } from './session/shown-once.js';

/** What every page may use. Pages take it as an argument; nothing is looked up from elsewhere. */
export interface Services {
  readonly config: Partial<Pick<Config, 'address' | 'trustsPeer'>>;
  readonly store: Store;
  readonly clock: () => Date;
  /** Opens the shop's signing key; throws AppError `bad-file` where it cannot be opened. */
  readonly signer: () => Signer;
  /** Draws and signs records beside whatever else is asked. */
  readonly issuer: Issuer;
  readonly setUp: SetUpToken;
  readonly keptPages: KeptPages;
  readonly keptForms: KeptForms;
  readonly saidOnce: SaidOnce;
  readonly shownOnce: ShownOnce;
  /** Looks through the store and backs it up by itself; only where the app is served for good. */
  readonly upkeep?: Upkeep | undefined;
}
