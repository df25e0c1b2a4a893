import { capital } from '../../circuit/quantity-text.js';
import { glossary, glossaryId } from '../../trade/glossary.js';

/** A piece of a sentence; with `href` it is a word of the trade that leads to its meaning. */
interface TextPart {
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

/** Every way in which a form or a phrase may be written, under its first word, the longest first. */
const byFirstWord = new Map<string, string[]>();
for (const form of forms.keys())
  for (const written of new Set([form, capital(form)])) {
    const first = /^[\p{L}\p{N}_-]+/u.exec(written)?.[0] ?? '';
    byFirstWord.set(first, [...(byFirstWord.get(first) ?? []), written]);
  }
for (const list of byFirstWord.values()) list.sort((a, b) => b.length - a.length);

/** A hyphen belongs to a word. */
const anyWord = /[\p{L}\p{N}_-]+/gu;
const inWord = /[\p{L}\p{N}_-]/u;

const hrefOf = (said: string) => forms.get(said) ?? forms.get(said.charAt(0).toLowerCase() + said.slice(1));

/** What a person typed, to be found as whole words. */
function typedPattern(typed: readonly string[]): RegExp | undefined {
  const literal = typed
    .filter((t) => t.trim() !== '')
    .sort((a, b) => b.length - a.length)
    .map((t) => t.replace(/[.*+?^${}()|[\]\\]/g, '\\$&'));
  if (literal.length === 0) return undefined;
  return new RegExp(`(?<![\\p{L}\\p{N}_-])(?:${literal.join('|')})(?![\\p{L}\\p{N}_-])`, 'gu');
}

/**
 * Marks the words of one page in our own sentences: called for each in the order in which it is read, so that a word leads to the
 * glossary once. Whole words, the longest first; nothing inside a text of `typed`, what a person wrote.
 */
export function wordsOfPage(typed: readonly string[] = []): (text: string) => readonly TextPart[] {
  const linked = new Set<string>();
  const pattern = typedPattern(typed);
  return (text) => linkedIn(text, linked, pattern);
}

/** The parts of a sentence, with no word that leads to one of `linked`; where the others lead is added there. */
function linkedIn(text: string, linked: Set<string>, pattern: RegExp | undefined): readonly TextPart[] {
  const kept = pattern === undefined ? [] : [...text.matchAll(pattern)];
  const parts: TextPart[] = [];
  let at = 0;
  let looked = 0;
  for (const { 0: first, index } of text.matchAll(anyWord)) {
    if (index < looked) continue;
    const said = byFirstWord
      .get(first)
      ?.find((form) => text.startsWith(form, index) && !inWord.test(text.charAt(index + form.length)));
    if (said === undefined) continue;
    const end = index + said.length;
    if (kept.some((k) => k.index < end && index < k.index + k[0].length)) continue;
    looked = end;
    const href = hrefOf(said);
    if (href === undefined || linked.has(href)) continue;
    linked.add(href);
    if (index > at) parts.push({ text: text.slice(at, index) });
    parts.push({ text: said, href });
    at = end;
  }
  if (at < text.length) parts.push({ text: text.slice(at) });
  return parts;
}
