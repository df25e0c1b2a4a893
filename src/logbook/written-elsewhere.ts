import type { Entry } from './entry.js';

/** Of a logbook that was taken over from another shop: how many entries its people wrote, and who they are. */
export interface WrittenElsewhere {
  readonly entries: number;
  readonly names: readonly string[];
}

/**
 * What people wrote in a logbook who are none of the shop that has it; undefined where there is nothing of the kind. Told by their ids,
 * since two shops may each have somebody of one name. An owner who acknowledged a record is of no shop.
 */
export function writtenElsewhere(
  entries: readonly Pick<Entry, 'by' | 'kind'>[],
  people: readonly { readonly id: string }[],
): WrittenElsewhere | undefined {
  const own = new Set(people.map(({ id }) => id));
  const theirs = entries.filter(({ by, kind }) => kind !== 'owner acknowledged' && !own.has(by.id));
  if (theirs.length === 0) return undefined;
  return { entries: theirs.length, names: [...new Set(theirs.map(({ by }) => by.name))] };
}
