import { keptSpace } from '../../circuit/figure-unit.js';
import { byNumber } from '../../record/draw/printable.js';

/**
 * A page whose figures stay with their units and names at a line's end: a no-break space between them wherever words are shown. What
 * stands in an attribute or in a field goes back to the server as it was typed, so there nothing changes.
 */
export function wholeFigures(html: string): string {
  const isShown = shownIn(html);
  return (
    html
      .replace(keptSpace, (space, at: number) => (isShown(at) ? '\u00a0' : space))
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
  const isShown = shownIn(html);
  const unturned = html.replace(turning, (mark, at: number) => (isShown(at) ? byNumber(mark) : mark));
  const isShownThere = shownIn(unturned);
  return unturned.replace(leftward, (words, at: number) =>
    isShownThere(at) ? `\u2068${words}\u2069` : words,
  );
}

const turning = /[\u202a-\u202e\u2066-\u2069]/g;
/** A letter of a script that is written from right to left. */
const rtl = '[\\u0590-\\u08ff\\ufb1d-\\ufdff\\ufe70-\\ufefc\\u{10800}-\\u{10fff}\\u{1e800}-\\u{1efff}]';
/** A run of them with the spaces, figures and marks between; what we write between two names ends it. */
const leftward = new RegExp(`${rtl}(?:[^<>·;:\\p{L}]*${rtl})*…?`, 'gu');

/**
 * Answers for places in rising order whether words are shown there. It goes through the page once: a field may hold half a million letters
 * with a figure at every fourth, and to look back from each for the tag before it would hold everybody up for a minute.
 */
function shownIn(html: string): (at: number) => boolean {
  const next = (sign: '<' | '>', from: number) => {
    const found = html.indexOf(sign, from);
    return found < 0 ? html.length : found;
  };
  let tag = -1;
  let tagEnd = -1;
  let nextTag = next('<', 0);
  return (at) => {
    while (nextTag <= at) {
      tag = nextTag;
      tagEnd = next('>', tag);
      nextTag = next('<', tag + 1);
    }
    return tagEnd < at && tag >= 0 && !html.startsWith('<textarea', tag);
  };
}
