import { glossary, glossaryId } from '../trade/glossary.js';

/** A piece of a sentence; with `href` it is a word of the trade that leads to its meaning. */
export interface TextPart {
  readonly text: string;
  readonly href?: string;
}

/** What a template writes with parts/text: a sentence as it is, or in parts. */
export type Said = string | readonly TextPart[];

/** Every form and every phrase to leave alone, by how it is written; `href` is missing for a phrase. */
const forms = new Map<string, string | undefined>();
for (const { word, forms: written = [], not = [] } of glossary.rows) {
  for (const form of written) forms.set(form, `/glossary#${glossaryId(word)}`);
  for (const phrase of not) forms.set(phrase, undefined);
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
const literal = (text: string) => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');

/** Whole words only, the longest first; a hyphen belongs to a word. */
function anyOf(words: readonly string[]): RegExp {
  const longestFirst = [...words].sort((a, b) => b.length - a.length).map(literal);
  return new RegExp(`(?<![\\p{L}\\p{N}_-])(?:${longestFirst.join('|')})(?![\\p{L}\\p{N}_-])`, 'gu');
}

const anyForm = anyOf([...forms.keys()].flatMap((form) => [...new Set([form, capital(form)])]));
const hrefOf = (said: string) => forms.get(said) ?? forms.get(said.charAt(0).toLowerCase() + said.slice(1));

/**
 * One of our own sentences in parts, its words of the trade leading to the glossary: each once, and none of those in
 * `linked` again. Nothing is marked inside a text of `typed`, what a person wrote.
 */
export function linkWords(
  text: string,
  linked: ReadonlySet<string> = new Set(),
  typed: readonly string[] = [],
): readonly TextPart[] {
  const own = typed.filter((t) => t.trim() !== '');
  const kept =
    own.length === 0 ? [] : [...text.matchAll(anyOf(own))].map((m) => [m.index, m.index + m[0].length]);
  const seen = new Set(linked);
  const parts: TextPart[] = [];
  let at = 0;
  for (const match of text.matchAll(anyForm)) {
    const [from, to] = [match.index, match.index + match[0].length];
    const href = hrefOf(match[0]);
    if (href === undefined || seen.has(href)) continue;
    if (kept.some(([a = 0, b = 0]) => from < b && a < to)) continue;
    seen.add(href);
    if (from > at) parts.push({ text: text.slice(at, from) });
    parts.push({ text: match[0], href });
    at = to;
  }
  if (at < text.length) parts.push({ text: text.slice(at) });
  return parts;
}

/** Marks the words of one page: called for each sentence in the order in which it is read, so that a word leads on once. */
export function wordsOfPage(typed: readonly string[] = []): (text: string) => Said {
  const linked = new Set<string>();
  return (text) => {
    const parts = linkWords(text, linked, typed);
    for (const { href } of parts) if (href !== undefined) linked.add(href);
    return parts;
  };
}
