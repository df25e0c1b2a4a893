import { isIPv6 } from 'node:net';
import { putNewest } from '../../put-newest.js';
import { ipv6Words } from './ipv6-words.js';

/**
 * How often a passphrase may be tried: a few times at once, then ever more slowly, never shut for good. A device that a person has
 * signed in on before is counted by itself alone; so is a session that is asked again. Everybody else is counted by name and
 * address, by address, and by name from everywhere: a stranger who keeps guessing slows down strangers, and not the owner.
 */
interface Throttle {
  /** Seconds that must pass before the next try, 0 where it may be made. */
  waitS(attempt: Attempt): number;
  /** Counts a try before it is checked, so that tries sent all at once count as much as tries one after the other. */
  counted(attempt: Attempt): void;
  /** The try was right: it counts no more, nor do the wrong ones of the same device or address before it. */
  succeeded(attempt: Attempt): void;
  /** How many counters are kept. */
  readonly size: number;
}

interface Attempt {
  readonly account: string;
  readonly address: string;
  /** A device of this very account, see known-device. */
  readonly device?: string | undefined;
}

/** How long to wait, in words. */
export const waitText = (seconds: number) => (seconds === 1 ? '1 second' : `${seconds} seconds`);

interface Counter {
  readonly key: string;
  readonly free: number;
  readonly longestS: number;
  /** Whether one right try clears the counter, or only takes itself back. */
  readonly own: boolean;
}

const forgetMs = 15 * 60_000;
const rememberedAtMost = 10_000;

export function makeThrottle(clock: () => Date): Throttle {
  const tries = new Map<string, { count: number; lastMs: number }>();

  /** What is counted still: not what was quiet for long, nor what a clock counted that was set back since. */
  const countOf = (key: string) => {
    const known = tries.get(key);
    const passedMs = clock().getTime() - (known?.lastMs ?? 0);
    return known !== undefined && passedMs >= 0 && passedMs <= forgetMs
      ? { count: known.count, passedMs }
      : { count: 0, passedMs: 0 };
  };

  const wait = ({ key, free, longestS }: Counter) => {
    const { count, passedMs } = countOf(key);
    if (count < free) return 0;
    const neededS = Math.min(2 ** (count - free), longestS);
    return Math.max(0, Math.ceil(neededS - passedMs / 1000));
  };

  return {
    waitS: (attempt) => Math.max(...countersOf(attempt).map(wait)),
    counted(attempt) {
      for (const { key } of countersOf(attempt)) {
        const count = countOf(key).count + 1;
        putNewest(tries, key, { count, lastMs: clock().getTime() }, rememberedAtMost);
      }
    },
    succeeded(attempt) {
      for (const { key, own } of countersOf(attempt)) {
        const known = tries.get(key);
        if (own || known === undefined) tries.delete(key);
        else tries.set(key, { ...known, count: known.count - 1 });
      }
    },
    get size() {
      return tries.size;
    },
  };
}

function countersOf({ account, address, device }: Attempt): Counter[] {
  if (device !== undefined)
    return [{ key: `device\n${account}\n${device}`, free: 5, longestS: 60, own: true }];
  const from = network(address);
  return [
    { key: `both\n${account}\n${from}`, free: 5, longestS: 60, own: true },
    { key: `address\n${from}`, free: 30, longestS: 30, own: false },
    { key: `account\n${account}`, free: 20, longestS: 10, own: false },
  ];
}

/** Whoever has one IPv6 address has 2^64 of them: they count as one. */
export function network(address: string): string {
  if (!isIPv6(address)) return address;
  const words = ipv6Words(address);
  const mapped = words.slice(0, 6).join() === '0,0,0,0,0,65535';
  return mapped
    ? words
        .slice(6)
        .flatMap((word) => [word >> 8, word & 0xff])
        .join('.')
    : words
        .slice(0, 4)
        .map((word) => word.toString(16))
        .join(':');
}
