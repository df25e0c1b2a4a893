import { spaceBeforeUnit } from '../../circuit/figure-unit.js';

/**
 * A page whose figures stay with their units at a line's end: a no-break space between them wherever words are shown. What
 * stands in an attribute or in a field goes back to the server as it was typed, so there nothing changes.
 */
export function wholeFigures(html: string): string {
  return (
    html
      .replace(spaceBeforeUnit, (space, at: number) => {
        const tag = html.lastIndexOf('<', at);
        const shown = html.lastIndexOf('>', at) > tag && !html.startsWith('<textarea', tag);
        return shown ? '\u00a0' : space;
      })
      // A line may end at a hyphen, but not at a unit's own.
      .replaceAll('\u00a0in-lbf', '\u00a0in-\u2060lbf')
  );
}
