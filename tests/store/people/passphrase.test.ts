import { readFileSync } from 'node:fs';
import { expect, test, vi } from 'vitest';
import { commonCount } from '../../../src/store/people/common-passphrases.js';
import {
  checkPassphrase,
  hashPassphrase,
  makePassphrase,
  passphraseIssues,
} from '../../../src/store/people/passphrase.js';

/** Derivations that have begun and not ended: how many at most, and the salts of all in their order. */
const under = vi.hoisted(() => ({ way: 0, most: 0, salts: [] as string[] }));
vi.mock('node:crypto', async (original) => {
  const crypto = await original<typeof import('node:crypto')>();
  type Scrypt = (
    ...parts: [string, Buffer, number, object, (error: Error | null, key: Buffer) => void]
  ) => void;
  const scrypt: Scrypt = (passphrase, salt, length, options, tell) => {
    under.way += 1;
    under.most = Math.max(under.most, under.way);
    under.salts.push(salt.toString());
    crypto.scrypt(passphrase, salt, length, options, (error, key) => {
      under.way -= 1;
      tell(error, key);
    });
  };
  return { ...crypto, scrypt };
});

test('a hash carries its cost and a salt of its own, and only its passphrase opens it', async () => {
  const [one, two] = await Promise.all([
    hashPassphrase('spindle-lantern-otter'),
    hashPassphrase('spindle-lantern-otter'),
  ]);
  expect(one).toMatch(/^scrypt\$131072\$8\$1\$[\w-]{22}\$[\w-]{43}$/);
  expect(one).not.toBe(two);
  expect(await checkPassphrase('spindle-lantern-otter', one)).toEqual({ right: true, stale: false });
  expect(await checkPassphrase('spindle-lantern-Otter', one)).toEqual({ right: false, stale: false });
  expect(await checkPassphrase('', one)).toEqual({ right: false, stale: false });
});

test('with no hash the same work is done and the answer is no', async () => {
  expect(await checkPassphrase('whatever it may be', undefined)).toMatchObject({ right: false });
});

test('the same letters typed on another keyboard open it', async () => {
  const hash = await hashPassphrase('caf\u00e9 kettle lantern');
  expect(await checkPassphrase('cafe\u0301 kettle lantern', hash)).toMatchObject({ right: true });
});

test('too many at once are told to wait, and the rest are answered', async () => {
  const answers = await Promise.allSettled(
    Array.from({ length: 30 }, () => checkPassphrase('x', quickHash('someone'))),
  );
  const refused = answers.filter((a) => a.status === 'rejected');
  expect(refused).toHaveLength(4);
  for (const { reason } of refused as PromiseRejectedResult[]) expect(reason.code).toBe('too-many');
});

test('passphrases are checked one at a time: those the shop knows first, each in the order in which they came', async () => {
  under.most = 0;
  under.salts = [];
  const comers = ['first', 'second', 'third', 'known', 'known too', 'fourth'];
  await Promise.all(
    comers.map((name) => checkPassphrase('x', quickHash(name), { ahead: name.startsWith('known') })),
  );
  expect(under.salts).toEqual(['first', 'known', 'known too', 'second', 'third', 'fourth']);
  expect(under.most).toBe(1);
});

test('made passphrases pass their own rules and do not repeat', () => {
  const made = Array.from({ length: 200 }, makePassphrase);
  expect(new Set(made).size).toBe(200);
  expect(made.flatMap((m) => passphraseIssues(m, 'passphrase'))).toEqual([]);
});

test.each([
  'password1234',
  'Correct Horse Battery Staple',
  '123456789012',
  'aaaaaaaaaaaa',
  'abcabcabcabcabc',
  'LETMEIN letmein',
])('what anyone would try first is refused: %s', (passphrase) => {
  expect(passphraseIssues(passphrase, 'passphrase')).toHaveLength(1);
});

test.each(['four words go here', '            12 spaces first', 'ünïcödé wörks', '🔧🔩🪛🔌🚐🧰🪜🔦💡🧲⚙️🪚x'])(
  'nothing is asked but length: %s',
  (passphrase) => {
    expect(passphraseIssues(passphrase, 'passphrase')).toEqual([]);
  },
);

test('the list of what is tried first holds more than three thousand, as the file says', () => {
  const file = readFileSync(
    new URL('../../../src/store/passphrase-lists/common-passphrases.txt', import.meta.url),
    'utf8',
  );
  expect(commonCount()).toBe(Number(/^# (\d+) /.exec(file)?.[1]));
  expect(commonCount()).toBeGreaterThan(3000);
});

test.each([
  'sunshine-2026!',
  '2026 Football 2026',
  'monkey monkey monkey',
  'Dragon_Master_12',
  'ｐａｓｓｗｏｒｄ９９９９',
  'shorepower 120',
])('what is made of what is tried first is refused as well: %s', (passphrase) => {
  expect(passphraseIssues(passphrase, 'passphrase')).toHaveLength(1);
});

test('a passphrase of 128 letters opens, however many bytes they take, and nothing is cut short', async () => {
  const long = '🔧🔩🪛🔌'.repeat(32);
  expect(passphraseIssues(`${long.slice(8)}kettle🔧🔩`, 'passphrase').map((i) => i.message)).toEqual([
    'takes at most 128 characters',
  ]);
  const fits = `${'🔧🔩🪛🔌🧰'.repeat(24)}kettles!`;
  expect([...fits].length).toBe(128);
  expect(passphraseIssues(fits, 'passphrase')).toEqual([]);
  const hash = await hashPassphrase(fits);
  expect(await checkPassphrase(fits, hash)).toMatchObject({ right: true });
  expect(await checkPassphrase(`${fits}x`, hash)).toMatchObject({ right: false });
});

/** A hash of little work, whose salt is a name. */
function quickHash(name: string): string {
  return `scrypt$1024$8$1$${Buffer.from(name).toString('base64url')}$AAAA`;
}
