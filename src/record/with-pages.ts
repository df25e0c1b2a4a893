import type { PagesRead } from './draw-again.js';
import type { Verification } from './verify-pdf.js';

/** The answer with what came of the pages, and its sentence. */
export function withPages(seen: Verification, pages: PagesRead): Verification {
  if (!('facts' in seen)) return seen;
  const state = pages.read === 'otherwise' ? 'other-pages' : seen.state;
  return { ...seen, state, pages, reasons: [...seen.reasons, sentenceOf(pages)] };
}

function sentenceOf(pages: PagesRead): string {
  if (pages.read === 'same') return 'The pages read as the attached data say.';
  return pages.read === 'otherwise' ? pages.what : `Its pages were not compared: ${pages.why}.`;
}
