import { expect, test } from 'vitest';
import { glossary, glossaryId, ownersGlossary } from '../../src/trade/glossary.js';

const { rows } = glossary;

test('every word has a place of its own on the page, and no form belongs to two', () => {
  const ids = rows.map(({ word }) => glossaryId(word));
  expect(ids.filter((id, k) => ids.indexOf(id) !== k)).toEqual([]);
  const forms = rows.flatMap(({ forms = [] }) => forms);
  expect(forms.filter((form, k) => forms.indexOf(form) !== k)).toEqual([]);
});

test('every meaning is one sentence or two, and ends as one', () => {
  const wrong = rows.filter(({ meaning }) => {
    const sentences = meaning.split(/(?<=[.!?])\s+(?=[A-Z])/);
    return sentences.length > 2 || !/[.!?]$/.test(meaning);
  });
  expect(wrong.map(({ word }) => word)).toEqual([]);
});

test('every word that an owner meets is told', () => {
  expect(ownersGlossary.length).toBe(17);
});

test('no meaning promises anything', () => {
  const promise = /\b(safe|safely|safety|legal|legally|approved|complian\w*|certif\w*)\b/i;
  expect(rows.filter(({ meaning }) => promise.test(meaning)).map(({ word }) => word)).toEqual([]);
});
