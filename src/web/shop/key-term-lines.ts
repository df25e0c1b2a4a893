import { keyTerms } from '../../logbook/key-terms.js';
import { grouped } from '../../record/grouped.js';
import type { Services } from '../services.js';
import { dayText } from '../words/job-words.js';

/** "From 4 Mar 2026 until 2 Dec 2026: 4ab1 …", for whoever compares a fingerprint; the key in force first. */
export function termLines({ store }: Pick<Services, 'store'>): { fingerprint: string; when: string }[] {
  return keyTerms(store.shop.state())
    .map(({ fingerprint, from, until }) => ({
      fingerprint: grouped(fingerprint),
      when:
        until === undefined
          ? `Signs records since ${dayText(from)}`
          : `Signed records from ${dayText(from)} until ${dayText(until)}`,
    }))
    .reverse();
}
