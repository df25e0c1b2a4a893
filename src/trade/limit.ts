import type { Source } from './source.js';

/** One number that something is held to, and where it comes from. */
export interface Limit {
  readonly title: string;
  readonly value: number;
  readonly unit: string;
  readonly source: Source;
}
