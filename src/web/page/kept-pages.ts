import type { Shop } from '../../logbook/fold-shop.js';
import type { JobLog } from '../../logbook/job-log.js';

/** Bytes of a page, or the token that stands there. */
export type PagePiece = Buffer | 'csrf' | 'key';

interface KeptPage {
  readonly log: JobLog;
  readonly shop: Shop;
  /** The page's markup, cut at each token. */
  readonly pieces: readonly PagePiece[];
}

/** Pages of jobs that were drawn before; for one store, so that two apps in one process never share any. */
export type KeptPages = Map<string, KeptPage>;
