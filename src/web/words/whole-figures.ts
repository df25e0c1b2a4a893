import { keptSpace } from '../../circuit/figure-unit.js';
import { byNumber } from '../../record/draw/printable.js';

/**
 * A page whose figures stay with their units and names at a line's end: a no-break space between them wherever words are shown. What
 * stands in an attribute or in a field goes back to the server as it was typed, so there nothing changes.
 */
export function wholeFigures(html: string): string {
  return (
    html
      .replace(keptSpace, (space, at: number) => (isShown(html, at) ? '\u00a0' : space))
      // A line may end at a hyphen, but not at a unit's own.
      .replaceAll('\u00a0in-lbf', '\u00a0in-\u2060lbf')
  );
}

/**
 * A page on which nothing turns the reading direction: the marks that would, whoever typed them, are shown by their numbers as the record
 * prints them, and words that are read from right to left stand each apart (FSI … PDI), so that no figure before or behind them reads
 * backwards or changes its place. What stands in a field stays as it was typed. @source Unicode Standard Annex 9, 2.4
 */
export function oneDirection(html: string): string {
  return html
    .replace(turning, (mark, at: number) => (isShown(html, at) ? byNumber(mark) : mark))
    .replace(leftward, (words, at: number, page: string) =>
      isShown(page, at) ? `\u2068${words}\u2069` : words,
    );
}

const turning = /[\u202a-\u202e\u2066-\u2069]/g;
/** A letter of a script that is written from right to left. */
const rtl = '[\\u0590-\\u08ff\\ufb1d-\\ufdff\\ufe70-\\ufefc\\u{10800}-\\u{10fff}\\u{1e800}-\\u{1efff}]';
/** A run of them with the spaces, figures and marks between; what we write between two names ends it. */
const leftward = new RegExp(`${rtl}(?:[^<>·;:\\p{L}]*${rtl})*…?`, 'gu');

function isShown(html: string, at: number): boolean {
  const tag = html.lastIndexOf('<', at);
  return html.lastIndexOf('>', at) > tag && !html.startsWith('<textarea', tag);
}
