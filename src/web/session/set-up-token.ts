import { randomBytes, timingSafeEqual } from 'node:crypto';

/** The one-time word that the terminal prints at a first start: whoever can read the terminal may make the shop. */
export interface SetUpToken {
  /** As printed: groups of letters and digits that are hard to take for one another. */
  readonly printed: string;
  readonly expires: Date;
  matches(typed: string, now: Date): boolean;
  /** After this nothing matches. */
  spend(): void;
}

const lastsMs = 3_600_000;
const alphabet = 'abcdefghjkmnpqrstuvwxyz23456789';

export function makeSetUpToken(now: Date): SetUpToken {
  const letters = [...randomBytes(20)].map((byte) => alphabet[byte % alphabet.length]).join('');
  const expires = new Date(now.getTime() + lastsMs);
  let spent = false;
  return {
    printed: letters.replace(/(.{5})(?=.)/g, '$1-'),
    expires,
    matches(typed, at) {
      const plain = Buffer.from(typed.toLowerCase().replace(/[^a-z0-9]/g, ''));
      const wanted = Buffer.from(letters);
      return !spent && at < expires && plain.length === wanted.length && timingSafeEqual(plain, wanted);
    },
    spend() {
      spent = true;
    },
  };
}
