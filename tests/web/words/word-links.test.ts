import fc from 'fast-check';
import { expect, test } from 'vitest';
import { glossary } from '../../../src/trade/glossary.js';
import { wordsOfPage } from '../../../src/web/words/word-links.js';

const linked = (text: string, typed: readonly string[] = []) =>
  wordsOfPage(typed)(text).flatMap((p) => (p.href === undefined ? [] : [`${p.text} ${p.href}`]));
const everyForm = glossary.rows.flatMap(({ forms = [] }) => forms);

test('a word of the trade leads to its meaning, the rest of the sentence stays as it is', () => {
  expect(wordsOfPage()('Put the cord grip in first.')).toEqual([
    { text: 'Put the ' },
    { text: 'cord grip', href: '/glossary#cord-grip' },
    { text: ' in first.' },
  ]);
});

test('the longest word wins, a sentence may begin with it, and a part of a word is no word', () => {
  expect(linked('Ground-fault device, then the ground wire.')).toEqual([
    'Ground-fault device /glossary#ground-fault-device',
    'ground wire /glossary#ground',
  ]);
  expect(linked('A photo of the background, a hot-skin test, 12 AWG-like.')).toEqual([]);
});

test('capitals mean what they say: LOAD is a screw, a load is a lamp', () => {
  expect(linked('Loads out. The run goes on LOAD.')).toEqual([
    'Loads /glossary#load',
    'The run /glossary#run',
    'LOAD /glossary#load-screws',
  ]);
});

test('a word that means something else in a phrase is left alone there, and marked where it is meant', () => {
  expect(linked('1.8 m above the ground; ground on green.')).toEqual(['ground /glossary#ground']);
});

test('on one page each meaning is led to once', () => {
  const say = wordsOfPage();
  const hrefs = ['Land neutral, then the hot.', 'Hot on brass, neutral on silver, torque.'].map((text) =>
    say(text).flatMap((p) => p.href ?? []),
  );
  expect(hrefs).toEqual([['/glossary#neutral', '/glossary#hot'], ['/glossary#torque']]);
});

test('nothing is marked inside what a person typed', () => {
  expect(linked('Land the hot at (hot press, inlet side).', ['hot press, inlet side'])).toEqual([
    'hot /glossary#hot',
  ]);
  expect(linked('Its place: hot.', ['hot'])).toEqual([]);
});

test('of any text nothing is lost, and every link leads to a word of the glossary once', () => {
  const piece = fc.oneof(fc.constantFrom(...everyForm), fc.string({ maxLength: 8 }), fc.constant(' '));
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 30 }), fc.array(piece, { maxLength: 3 }), (pieces, typed) => {
      const text = pieces.join(' ');
      const parts = wordsOfPage(typed)(text);
      expect(parts.map((p) => p.text).join('')).toBe(text);
      const hrefs = parts.flatMap((p) => p.href ?? []);
      expect(new Set(hrefs).size).toBe(hrefs.length);
    }),
  );
});
