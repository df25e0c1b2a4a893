import type { UnitSystem } from '../circuit/units.js';
import type { Link } from './chain.js';
import type { Author } from './entry.js';
import type { NewShopEntry, Role, ShopBody } from './shop-entry.js';
import type { TimeZone } from './time-zone.js';

/** An entry of the shop's chain in its place. `at` is UTC, ISO 8601 with milliseconds. */
export type ShopEntry = NewShopEntry & Link & { readonly at: string; readonly by: Author };

export interface Person {
  readonly id: string;
  readonly name: string;
  readonly signIn: string;
  readonly roles: readonly Role[];
  /** A person who is not active cannot sign in; the name stays in the logbook. */
  readonly active: boolean;
  readonly vouchedBy: string;
}

export type Instrument = ShopBody<'instrument added'> & {
  readonly id: string;
  readonly retired: boolean;
  /** What was found about it since it was calibrated last. */
  readonly questioned?: ShopBody<'instrument questioned'> & { readonly at: string; readonly by: string };
};

/** A signing key of the shop: the newest made is the one in force. */
type ShopKey = ShopBody<'key made'> & { readonly at: string };

export type OwnerLink = ShopBody<'link made'> & {
  readonly at: string;
  /** The name of whoever made it. */
  readonly by: string;
  readonly withdrawn: string | undefined;
};

/** The shop as its entries leave it. */
export interface Shop {
  /** The entries that it was folded from; a store leaves the openings of jobs out, which say nothing of the shop. */
  readonly entries: readonly ShopEntry[];
  /** False until the first start has named it. */
  readonly named: boolean;
  readonly name: string;
  readonly place: string;
  /** How owners reach the shop; empty where it does not say. */
  readonly reach: string;
  readonly units: UnitSystem;
  /** What its times are read in. */
  readonly zone: TimeZone;
  readonly people: readonly Person[];
  readonly instruments: readonly Instrument[];
  readonly keys: readonly ShopKey[];
  readonly key: ShopKey | undefined;
  readonly links: readonly OwnerLink[];
}

/** What the shop's chain says, oldest entry first. Entries about someone or something that was never added say nothing. */
export function foldShop(entries: readonly ShopEntry[]): Shop {
  const people = new Map<string, Person>();
  const instruments = new Map<string, Instrument>();
  const links = new Map<string, OwnerLink>();
  const keys: ShopKey[] = [];
  let named: ShopBody<'shop named'> | undefined;
  for (const entry of entries) {
    const { kind, subject, body } = entry;
    if (kind === 'shop named') named = body;
    if (kind === 'person added') people.set(subject, { ...body, id: subject, active: true });
    if (kind === 'person changed') {
      const before = people.get(subject);
      if (before !== undefined) people.set(subject, { ...before, ...body });
    }
    if (kind === 'instrument added') instruments.set(subject, { ...body, id: subject, retired: false });
    if (kind === 'instrument changed') {
      const before = instruments.get(subject);
      if (before !== undefined)
        instruments.set(subject, { ...body, id: subject, ...stillQuestioned(before, body) });
    }
    if (kind === 'instrument questioned') {
      const known = instruments.get(subject);
      if (known !== undefined)
        instruments.set(subject, { ...known, questioned: { ...body, at: entry.at, by: entry.by.name } });
    }
    if (kind === 'key made') keys.push({ ...body, at: entry.at });
    if (kind === 'link made') {
      const made = { at: entry.at, by: entry.by.name, withdrawn: undefined };
      links.set(body.tokenDigest, { ...body, heldBy: body.heldBy ?? '', ...made });
    }
    if (kind === 'link withdrawn') {
      const link = links.get(body.tokenDigest);
      if (link !== undefined) links.set(body.tokenDigest, { ...link, withdrawn: entry.at });
    }
  }
  return {
    entries,
    named: named !== undefined,
    name: named?.name ?? '',
    place: named?.place ?? '',
    reach: named?.reach ?? '',
    units: named?.units ?? 'imperial',
    zone: named?.zone ?? 'UTC',
    people: [...people.values()],
    instruments: [...instruments.values()],
    keys,
    key: keys.at(-1),
    links: [...links.values()],
  };
}

/** A finding stands until the instrument was calibrated on a later day, or on the day of the finding but not the day of before. */
function stillQuestioned(
  before: Instrument,
  now: ShopBody<'instrument changed'>,
): Pick<Instrument, 'questioned'> {
  const { questioned } = before;
  if (questioned === undefined) return {};
  const calibrated = now.calibrated > before.calibrated && now.calibrated >= questioned.at.slice(0, 10);
  return calibrated ? {} : { questioned };
}

/** A sign-in name as it is compared: case and look-alike forms of the same letters do not make another person. */
export function foldSignIn(signIn: string): string {
  return signIn
    .normalize('NFKC')
    .replace(/\p{Cf}/gu, '')
    .trim()
    .toLowerCase()
    .normalize('NFKC');
}
