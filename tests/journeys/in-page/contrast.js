// Runs in a page behind colours.js and answers every text whose contrast against its ground is under 7:1; see page-contrast.ts.
(() => {
  const { parts, over, contrast, grounds } = colours;
  const faults = [];
  const judge = (element, words, colour) => {
    if (words.trim() === '' || !element.checkVisibility({ visibilityProperty: true })) return;
    if (element.closest('.hidden, .default-act, .skip:not(:focus)') !== null) return;
    const worst = Math.min(
      ...grounds(element).map((ground) => contrast(over(parts(colour), ground), ground)),
    );
    if (worst < 7) faults.push(`“${words.trim().slice(0, 40)}” stands at ${worst.toFixed(2)}:1`);
  };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
    const of = node.parentElement;
    // What a drawing's words stand on is drawn, not set: its tones are held to 7:1 by themselves.
    if (of.closest('svg, script, option, textarea') === null)
      judge(of, node.textContent, getComputedStyle(of).color);
  }
  for (const field of document.querySelectorAll('input, textarea, select'))
    judge(field, field.value || field.placeholder || '', getComputedStyle(field).color);
  for (const marked of document.querySelectorAll('summary, .line-title')) {
    const which = marked.localName === 'summary' ? '::before' : '::after';
    const { content, color } = getComputedStyle(marked, which);
    if (content !== 'none') judge(marked, content, color);
  }
  return [...new Set(faults)];
})();
