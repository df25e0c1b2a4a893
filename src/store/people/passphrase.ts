import { randomBytes, randomInt, scrypt, timingSafeEqual } from 'node:crypto';
import { AppError, type Issue } from '../../errors.js';
import { isCommon } from './common-passphrases.js';

/** The cost kept beside each hash; a sign-in under an older cost makes the hash anew. @source OWASP ASVS 5.0, 11.4.2 and Appendix C */
const cost = { n: 2 ** 17, r: 8, p: 1 };
const keyBytes = 32;

/**
 * Each derivation takes 128 MiB and half a second of a core: one after the other, so that many people who come at once, or strangers who
 * try, take neither from those at work. So many wait at most, on a small machine for half a minute.
 */
const waitingAtMost = 25;

/** Nothing longer can be anybody's passphrase, in units of UTF-16: it is refused after the same work, never cut short. */
const longestTyped = 1024;

/** `scrypt$N$r$p$salt$key`, the last two in base64url. */
export async function hashPassphrase(passphrase: string): Promise<string> {
  const salt = randomBytes(16);
  const key = await derive(passphrase, salt, cost);
  return ['scrypt', cost.n, cost.r, cost.p, salt.toString('base64url'), key.toString('base64url')].join('$');
}

/**
 * Whether a passphrase is the one that was hashed, and whether the hash should be made anew. With no hash (a name that
 * nobody has) the same work is done, and the answer is no. `ahead` goes before whoever waits: those that the shop knows already
 * are not kept waiting by strangers.
 */
export async function checkPassphrase(
  typed: string,
  hashOf: string | undefined,
  { ahead = false }: { ahead?: boolean } = {},
): Promise<{ right: boolean; stale: boolean }> {
  const [passphrase, hash] = typed.length > longestTyped ? ['', undefined] : [typed, hashOf];
  const [name, n, r, p, salt, key] = (hash ?? decoy).split('$');
  if (name !== 'scrypt' || key === undefined || salt === undefined)
    throw new AppError('unexpected', 'a passphrase hash cannot be read');
  const used = { n: Number(n), r: Number(r), p: Number(p) };
  const kept = Buffer.from(key, 'base64url');
  const found = await derive(passphrase, Buffer.from(salt, 'base64url'), used, ahead);
  const same = found.length === kept.length && timingSafeEqual(found, kept);
  return {
    right: same && hash !== undefined,
    stale: used.n !== cost.n || used.r !== cost.r || used.p !== cost.p,
  };
}

/** What is wrong with a new passphrase; nothing is asked but length and that it is not among the first guesses. */
export function passphraseIssues(passphrase: string, field: string, about: readonly string[] = []): Issue[] {
  const letters = [...passphrase.normalize('NFKC')];
  if (letters.length < 12)
    return [{ field, message: 'needs at least 12 characters; four or five words do well' }];
  if (letters.length > 128) return [{ field, message: 'takes at most 128 characters' }];
  if (new Set(letters).size < 4 || isCommon(passphrase))
    return [{ field, message: 'is made of what anyone would try first; choose another' }];
  const names = about.map(bareWord).filter((word) => word.length > 3);
  if (names.includes(bareWord(passphrase))) return [{ field, message: 'is the name itself; choose another' }];
  return [];
}

/** A word without figures, blanks and marks, in small letters. */
function bareWord(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}]/gu, '');
}

/** A passphrase made for the occasion: five words of a small list with two digits, about 49 bits. */
export function makePassphrase(): string {
  const words = Array.from({ length: 5 }, () => occasionWords[randomInt(occasionWords.length)]);
  return `${words.join('-')}-${randomInt(10, 100)}${randomInt(10, 100)}`;
}

let deriving = false;
/** In the order in which they came: those that the shop knows, and everybody else. */
const waiting: { readonly known: (() => void)[]; readonly others: (() => void)[] } = {
  known: [],
  others: [],
};

async function derive(
  passphrase: string,
  salt: Buffer,
  { n, r, p }: { n: number; r: number; p: number },
  ahead = false,
): Promise<Buffer> {
  if (deriving) {
    if (!ahead && waiting.known.length + waiting.others.length >= waitingAtMost)
      throw new AppError('too-many');
    await new Promise<void>((resolve) => (ahead ? waiting.known : waiting.others).push(resolve));
  } else deriving = true;
  try {
    return await new Promise<Buffer>((resolve, reject) => {
      const options = { N: n, r, p, maxmem: 256 * n * r };
      scrypt(passphrase.normalize('NFKC'), salt, keyBytes, options, (error, key) =>
        error === null ? resolve(key) : reject(error),
      );
    });
  } finally {
    const next = waiting.known.shift() ?? waiting.others.shift();
    if (next === undefined) deriving = false;
    else next();
  }
}

/** A hash under today's cost that no passphrase opens. */
const decoy = `scrypt$${cost.n}$${cost.r}$${cost.p}$${Buffer.alloc(16, 7).toString('base64url')}$${Buffer.alloc(keyBytes, 1).toString('base64url')}`;

const occasionWords = (
  'amber anchor apron attic autumn badger bamboo barrel basin beacon birch bobbin bramble brass bridge bucket button cabin ' +
  'candle canoe canvas carpet cedar chalk cherry chisel cinder clover cobble copper corner cotton cradle cricket curtain dapple ' +
  'drawer ember fennel ferry fiddle flint gable garden ginger glacier granite gravel hammer harbor hazel heron hinge island ' +
  'ivory jacket juniper kettle ladder lantern lattice lemon lichen linen lumber mallet maple marble marrow meadow mitten mortar ' +
  'mosaic nettle oakum orchard osprey otter paddle parcel pebble pepper pewter pillow plaster plover pocket poplar pottery ' +
  'quarry quill rafter raisin ribbon river rooster saddle saffron sandal satchel shingle shovel signal silver spindle spruce ' +
  'stable summer tallow tandem teapot thimble thistle timber tinder tunnel turnip velvet walnut warbler willow window winter yarrow'
).split(' ');
