import { expect, test } from 'vitest';
import { makeSetUpToken } from '../../../src/web/session/set-up-token.js';

const now = new Date('2026-09-14T09:00:00Z');
const minutesOn = (minutes: number) => new Date(now.getTime() + minutes * 60_000);

test('the word of the terminal is taken as it is read: with its dashes, without, in capitals, with blanks', () => {
  const token = makeSetUpToken(now);
  expect(token.printed).toMatch(/^(?:[a-z2-9]{5}-){3}[a-z2-9]{5}$/);
  expect(token.printed).not.toMatch(/[il1o0]/);
  const plain = token.printed.replaceAll('-', '');
  for (const typed of [token.printed, plain, plain.toUpperCase(), ` ${token.printed.replaceAll('-', ' ')}\n`])
    expect({ typed, taken: token.matches(typed, now) }).toEqual({ typed, taken: true });
});

test('no other word is taken, nor a part of it, nor none', () => {
  const token = makeSetUpToken(now);
  const other = token.printed.replace(/^./, (c) => (c === 'a' ? 'b' : 'a'));
  for (const typed of ['', '-', other, token.printed.slice(0, -1), `${token.printed}a`])
    expect({ typed, taken: token.matches(typed, now) }).toEqual({ typed, taken: false });
  expect(makeSetUpToken(now).matches(token.printed, now)).toBe(false);
});

test('it is good for an hour and for one shop', () => {
  const token = makeSetUpToken(now);
  expect(token.expires).toEqual(minutesOn(60));
  expect([token.matches(token.printed, minutesOn(59)), token.matches(token.printed, minutesOn(60))]).toEqual([
    true,
    false,
  ]);
  token.spend();
  expect(token.matches(token.printed, now)).toBe(false);
});
