import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { commonCount } from '../../../src/store/people/common-passphrases.js';
import {
  checkPassphrase,
  hashPassphrase,
  makePassphrase,
  passphraseIssues,
} from '../../../src/store/people/passphrase.js';

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
    Array.from({ length: 30 }, () => checkPassphrase('x', 'scrypt$1024$8$1$AAAA$AAAA')),
  );
  const refused = answers.filter((a) => a.status === 'rejected');
  expect(refused).toHaveLength(4);
  for (const { reason } of refused as PromiseRejectedResult[]) expect(reason.code).toBe('too-many');
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
