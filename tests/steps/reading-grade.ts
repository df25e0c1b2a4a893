import { glossary } from '../../src/trade/glossary.js';

/** Words of the trade, which the glossary explains: each part of them counts as a word of one syllable. */
const known = new Set(
  glossary.rows
    .flatMap(({ word, forms = [] }) => [word, ...forms])
    .flatMap((w) => w.toLowerCase().split(/[\s-]+/)),
);

/** Sentences of a text. */
export function sentencesOf(text: string): string[] {
  return text
    .split(/(?<=[.!?])\s+/)
    .map((s) => s.trim())
    .filter((s) => /\p{L}/u.test(s));
}

/** A figure with its unit is read at a glance, and what stands in brackets behind it is the same in the other unit. */
const figures =
  /[±<>≤≥]?\s*\d[\d.,/]*(?:[ -](?:m|mm|cm³|N·m|N|km|kg|ft|in|in³|in-lbf|lbf|V|A|W|kW|Ω|kΩ|MΩ|mΩ|°C|%|s|min|h|AWG|miles)(?!\p{L}))?(?: \(\d[^)]*\))?/gu;

function wordsOf(sentence: string): string[] {
  return sentence.replace(figures, ' ').match(/\p{L}[\p{L}’']*/gu) ?? [];
}

/** Syllables by the groups of vowels, less a silent e; 1 for a word of the trade. */
export function syllablesOf(word: string): number {
  const w = word.toLowerCase().replace(/[’']s?$/, '');
  if (known.has(w) || known.has(w.replace(/s$/, '')) || known.has(w.replace(/es$/, ''))) return 1;
  const spoken = w.replace(/(?:[^laeiouy]es|[^aeiouytd]ed|[^laeiouy]e)$/, (end) => end.charAt(0));
  return Math.max(1, (spoken.match(/[aeiouy]+/g) ?? []).length);
}

/**
 * The grade of school that a text asks for: 0.39 words a sentence + 11.8 syllables a word − 15.59.
 * @source Kincaid, Fishburne, Rogers and Chissom, Research Branch Report 8-75, Naval Technical Training Command (1975)
 */
export function gradeOf(texts: readonly string[]): number {
  const all = texts.flatMap(sentencesOf);
  const words = all.flatMap(wordsOf);
  if (words.length === 0) return 0;
  const syllables = words.reduce((sum, word) => sum + syllablesOf(word), 0);
  return 0.39 * (words.length / all.length) + 11.8 * (syllables / words.length) - 15.59;
}
