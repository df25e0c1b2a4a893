import fc from 'fast-check';
import { expect, test } from 'vitest';
import { chainFault, type Link, seal } from '../../src/logbook/chain.js';

interface Note extends Link {
  readonly text: string;
}
function chainOf(texts: readonly string[]): Note[] {
  const chain: Note[] = [];
  for (const text of texts) chain.push(seal({ text }, chain.at(-1)));
  return chain;
}

test('what was left out, put in, changed or sealed anew anywhere in a chain is told by its number', () => {
  const texts = fc.array(fc.string(), { minLength: 2, maxLength: 8 });
  fc.assert(
    fc.property(texts, fc.nat(), (all, at) => {
      const chain = chainOf(all);
      const k = at % chain.length;
      const [one, before, isLast] = [chain[k]!, chain[k - 1], k === chain.length - 1];
      const behind = `entry ${k + 2} does not follow from the one before it`;
      expect(chainFault(chain)).toBeUndefined();
      expect(chainFault(chain.slice(k), before)).toBeUndefined();
      expect(chainFault(chain.toSpliced(k, 1))).toBe(
        isLast ? undefined : `entry ${k + 2} stands where ${k + 1} should`,
      );
      expect(chainFault(chain.toSpliced(k, 0, one))).toBe(`entry ${k + 1} stands where ${k + 2} should`);
      const text = `${one.text} and more`;
      expect(chainFault(chain.with(k, { ...one, text }))).toBe(`entry ${k + 1} is not what was written`);
      expect(chainFault(chain.with(k, seal({ text }, before)))).toBe(isLast ? undefined : behind);
      // Sealed with the right digest before it, under another number.
      const moved = seal({ text }, { ...one, seq: k + 5, digest: one.previous });
      expect(chainFault(chain.with(k, moved))).toBe(`entry ${k + 6} stands where ${k + 1} should`);
    }),
  );
});

test('an entry that holds what no text can be made of was never sealed, and breaks nothing', () => {
  const [one] = chainOf(['one']) as [Note];
  const spoilt: Note = { ...one, text: '\ud800' };
  expect(chainFault([spoilt])).toBe('entry 1 is not what was written');
});
