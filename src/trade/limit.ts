import type { Source } from './source.js';

/** One number that something is held to, and where it comes from. */
export interface Limit {
  readonly title: string;
  readonly value: number;
  readonly unit: string;
  readonly sense: 'at most' | 'at least';
  /** A `look` is said and never judged. */
  readonly weight: 'judged' | 'look';
  readonly source: Source;
}
