import { expect, test } from 'vitest';
import { refuseNotYet } from '../../../src/store/carry/not-yet.js';

const now = new Date('2026-11-25T08:00:00.000Z');
const entry = (at: Date) => ({ at: at.toISOString() }) as never;

test('an entry that has not come yet is refused wherever it stands, though those behind it are of the past', () => {
  const past = entry(new Date(now.getTime() - 60_000));
  const ahead = entry(new Date(now.getTime() + 2 * 3_600_000));
  expect(() => refuseNotYet({ entries: [past, past, past] }, now)).not.toThrow();
  for (const k of [0, 1, 2])
    expect(() => refuseNotYet({ entries: [past, past, past].with(k, ahead) }, now)).toThrow(
      `entries.${k}.at: `,
    );
});
