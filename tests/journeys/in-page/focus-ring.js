// Runs in a page behind colours.js and answers every stop of the keyboard whose ring is under 3:1 against what is beside it
// (WCAG 2.2, 1.4.11 and 2.4.13); see page-contrast.ts.
(() => {
  const { parts, over, contrast, grounds } = colours;
  const faults = [];
  const named = (element) => {
    const words =
      element.getAttribute('name') ?? element.getAttribute('aria-label') ?? element.textContent ?? '';
    return `<${element.localName}> “${words.replace(/\s+/g, ' ').trim().slice(0, 40)}”`;
  };
  /** The first colour of a shadow that lies around the element like a second ring. */
  const shadow = ({ boxShadow }) => {
    if (boxShadow === 'none' || /\binset\b/.test(boxShadow)) return [];
    return (boxShadow.match(/(rgba?|color|oklab)\([^)]*\)/g) ?? []).slice(0, 1).map(parts);
  };
  /** Where the ring is drawn, in which colour, and the colours on both of its sides. */
  const ring = (stop) => {
    const touch = stop.closest('svg') === null ? null : stop.querySelector('.d-touch');
    if (touch !== null) {
      const { stroke, strokeWidth } = getComputedStyle(touch);
      const drawn = Number.parseFloat(strokeWidth) >= 2;
      return drawn ? { colour: stroke, beside: grounds(stop.closest('svg').parentElement) } : undefined;
    }
    for (const at of [stop, stop.closest('.option')]) {
      if (at === null) continue;
      const style = getComputedStyle(at);
      if (style.outlineStyle === 'none' || Number.parseFloat(style.outlineWidth) < 2) continue;
      const around = grounds(at.parentElement);
      const apart = Number.parseFloat(style.outlineOffset) > 0;
      return {
        colour: style.outlineColor,
        beside: [...around, ...shadow(style), ...(apart ? [] : grounds(at))],
      };
    }
  };
  const stops = document.querySelectorAll(
    'a[href], button, input:not([type=hidden]), select, textarea, summary, canvas[tabindex], [tabindex="0"]',
  );
  for (const stop of stops) {
    if (stop.tabIndex < 0 || stop.disabled || !stop.checkVisibility({ visibilityProperty: true })) continue;
    stop.focus({ focusVisible: true, preventScroll: true });
    if (document.activeElement !== stop) continue;
    const seen = ring(stop);
    if (seen === undefined) {
      faults.push(`${named(stop)} has the focus and shows no ring`);
      continue;
    }
    const worst = Math.min(
      ...seen.beside.map((ground) => contrast(over(parts(seen.colour), ground), ground)),
    );
    if (worst < 3) faults.push(`the ring of ${named(stop)} stands at ${worst.toFixed(2)}:1`);
  }
  document.activeElement?.blur();
  return [...new Set(faults)];
})();
