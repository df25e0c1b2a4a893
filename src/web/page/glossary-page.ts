import type { FastifyInstance, FastifyRequest } from 'fastify';
import { glossary, glossaryId } from '../../trade/glossary.js';
import { sourceText } from '../../trade/source.js';
import { render } from './page.js';

/** `/glossary`: every word of the trade in plain words, for whoever reads a page of this shop. It says nothing of the shop. */
export function registerGlossary(app: FastifyInstance): void {
  // Sorted when first asked for: no start waits for the order of an alphabet.
  let letters: ReturnType<typeof byLetter> | undefined;

  app.get('/glossary', async (request, reply) => {
    letters ??= byLetter();
    return render(reply, 'glossary', {
      title: 'Words of the trade',
      letters,
      backTo: backTo(request),
    });
  });
}

/** The words in the order of the alphabet, under their first letters. */
function byLetter() {
  const words = [...glossary.rows]
    .sort((a, b) => a.word.localeCompare(b.word, 'en'))
    .map(({ word, meaning, source }) => ({
      id: glossaryId(word),
      word,
      meaning,
      source: source && sourceText(source),
    }));
  return [...new Set(words.map(({ word }) => letterOf(word)))].map((letter) => ({
    letter,
    words: words.filter(({ word }) => letterOf(word) === letter),
  }));
}

const letterOf = (word: string) => (/^[a-z]/i.test(word) ? word.charAt(0).toUpperCase() : '0–9');

/** Back to the page of this site that a word was tapped on: the browser names it to no other site. */
function backTo(request: FastifyRequest) {
  const { referer = '' } = request.headers;
  const from = URL.canParse(referer) ? new URL(referer) : undefined;
  if (from?.host !== request.host || !/^\/(jobs|o)\//.test(from.pathname)) return undefined;
  return { href: from.pathname, label: 'Back to where you read it' };
}
