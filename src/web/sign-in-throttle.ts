/**
 * How often a passphrase may be tried: a few times at once, then ever more slowly, never shut for good. One account
 * from one address waits up to a minute; one account from everywhere waits at most ten seconds, so that a stranger who
 * keeps guessing cannot keep its owner out.
 */
export interface Throttle {
  /** Seconds that must pass before the next try, 0 where it may be made. */
  waitS(account: string, address: string): number;
  failed(account: string, address: string): void;
  succeeded(account: string, address: string): void;
}

interface Tries {
  count: number;
  lastMs: number;
}

const forgetMs = 15 * 60_000;
const remembered = 10_000;

export function makeThrottle(clock: () => Date): Throttle {
  const tries = new Map<string, Tries>();
  const keys = (account: string, address: string) =>
    [
      { key: `${account}\n${address}`, free: 5, longestS: 60 },
      { key: `${account}\n`, free: 20, longestS: 10 },
    ] as const;

  const wait = ({ key, free, longestS }: { key: string; free: number; longestS: number }) => {
    const known = tries.get(key);
    if (known === undefined) return 0;
    const passedMs = clock().getTime() - known.lastMs;
    if (passedMs > forgetMs || passedMs < 0) {
      tries.delete(key);
      return 0;
    }
    if (known.count < free) return 0;
    const neededS = Math.min(2 ** (known.count - free), longestS);
    return Math.max(0, Math.ceil(neededS - passedMs / 1000));
  };

  return {
    waitS: (account, address) => Math.max(...keys(account, address).map(wait)),
    failed(account, address) {
      for (const { key } of keys(account, address)) {
        if (tries.size >= remembered) tries.delete(tries.keys().next().value as string);
        tries.set(key, { count: (tries.get(key)?.count ?? 0) + 1, lastMs: clock().getTime() });
      }
    },
    succeeded(account, address) {
      for (const { key } of keys(account, address)) tries.delete(key);
    },
  };
}
