import { expect, test } from 'vitest';
import { entryBodies } from '../../src/logbook/entry.js';
import { foldSignIn } from '../../src/logbook/fold-shop.js';
import { signatureSchema } from '../../src/logbook/signature.js';

const nothing = ['', '   ', '\u200b', '\u200b\u2060\ufeff', '\u202e', '\u0000', '\u00ad', '\u0301'];

test.each(nothing)('a name, an owner or a reason of which nothing is seen (%j) is empty', (seen) => {
  const empty = expect.objectContaining({ message: 'must not be empty' });
  for (const schema of [signatureSchema.shape.name, entryBodies['job closed'].shape.reason])
    expect(schema.safeParse(seen).error?.issues).toEqual([empty]);
});

test.each(['O', '李', '¿?', '7', '👩‍🔧', 'e\u0301'])('%s is something', (seen) => {
  expect(signatureSchema.shape.name.safeParse(seen).data).toBe(seen);
});

test('a name to sign in with that looks like another’s is that name', () => {
  expect(foldSignIn('\u200bI\u00adnes\u2060 ')).toBe('ines');
});
