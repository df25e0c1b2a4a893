import { keyTerms } from '../../logbook/key-terms.js';
import { grouped } from '../../record/grouped.js';
import type { Services } from '../services.js';
import { dayOf } from '../words/job-words.js';

/** "From 4 Mar 2026 until 2 Dec 2026: 4ab1 …", for whoever compares a fingerprint; the key in force first. */
export function termLines({ store }: Pick<Services, 'store'>): { fingerprint: string; when: string }[] {
  const shop = store.shop.state();
  const day = (at: string) => dayOf(at, shop.zone);
  return keyTerms(shop)
    .map(({ fingerprint, from, until }) => ({
      fingerprint: grouped(fingerprint),
      when:
        until === undefined
          ? `Signs records since ${day(from)}`
          : `Signed records from ${day(from)} until ${day(until)}`,
    }))
    .reverse();
}
