import type { FastifyRequest } from 'fastify';
import type { Person, Shop } from '../../logbook/fold-shop.js';
import { whenText } from '../words/job-words.js';
import { passphraseOf } from './people.js';

/** Something that was done about people, and whom it is told to: whom it was done to, or every keeper. */
interface Told {
  readonly seq: number;
  readonly person: string;
  readonly keepers: boolean;
  readonly text: string;
}

/** What a page tells the person until they say that they have read it. */
interface Notices {
  readonly lines: readonly string[];
  /** The newest entry of the shop's logbook that the lines tell of. */
  readonly seq: number;
}

/** Nothing is told to whoever has a passphrase that another knows. */
export function noticesFor(request: FastifyRequest): Notices | undefined {
  const { person } = request;
  const { store } = request.server.services;
  if (person === undefined) return undefined;
  const all = toldIn(store.shop.state());
  if (all.length === 0) return undefined;
  const { notedSeq } = store.access.of(person.id);
  const mine = all.filter(
    (told) => told.seq > notedSeq && (told.person === person.id || (told.keepers && isKeeper(person))),
  );
  if (mine.length === 0 || passphraseOf(store, person.id)?.mustChange === true) return undefined;
  return { lines: mine.map(({ text }) => text), seq: mine.at(-1)?.seq ?? 0 };
}

const isKeeper = (person: Person) => person.roles.includes('keeper');
const kept = new WeakMap<Shop, readonly Told[]>();

/** Read out once for each newest entry of the shop's logbook. */
function toldIn(shop: Shop): readonly Told[] {
  let told = kept.get(shop);
  if (told === undefined) {
    told = shop.entries.flatMap((entry, k): Told[] => {
      const { seq, subject, by } = entry;
      const name = shop.people.find((p) => p.id === subject)?.name ?? subject;
      const on = whenText(entry.at, shop.zone);
      if (entry.kind === 'passphrase set' && entry.body.how === 'at-the-machine') {
        const text = `${on}: ${name} was given a new passphrase at the machine itself, by whoever could open the data folder. All their devices were signed out.`;
        return [{ seq, person: subject, keepers: true, text }];
      }
      if (by.id === subject) return [];
      const before = shop.entries[k - 1];
      const added = before?.kind === 'person added' && before.subject === subject;
      if (entry.kind === 'passphrase set' && entry.body.how === 'one-time' && !added) {
        const text = `${on}: ${by.name} gave you a new passphrase for one sign-in. All your devices were signed out.`;
        return [{ seq, person: subject, keepers: false, text }];
      }
      if (entry.kind === 'person changed') {
        const text = `${on}: ${by.name} changed how you stand here. You are ${entry.body.name}, ${entry.body.roles.join(', ')}.`;
        return [{ seq, person: subject, keepers: false, text }];
      }
      return [];
    });
    kept.set(shop, told);
  }
  return told;
}
