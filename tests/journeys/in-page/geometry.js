// Runs in a page and answers what is wrong with where things stand on it; see page-geometry.ts.
(() => {
  const least = 44;
  const apart = 8;
  const wide = document.documentElement.clientWidth;
  const faults = [];

  const named = (element) => {
    const words = (element.getAttribute('aria-label') ?? element.textContent ?? '')
      .replace(/\s+/g, ' ')
      .trim();
    const field = element.getAttribute('name') ?? '';
    return `<${element.localName}${field === '' ? '' : ` ${field}`}> “${words.slice(0, 40)}”`;
  };
  // What is there for a screen reader alone is cut down to nothing by its clip.
  const unseen = (element) =>
    element !== null && (getComputedStyle(element).clipPath !== 'none' || unseen(element.parentElement));
  const shown = (element) =>
    element.checkVisibility({ visibilityProperty: true }) &&
    element.closest('.skip, [aria-hidden="true"]') === null &&
    !unseen(element);

  if (document.documentElement.scrollWidth > wide)
    faults.push(`the page is ${document.documentElement.scrollWidth} px wide in a window of ${wide}`);

  const inLine = (link) => {
    if (link.localName !== 'a' || getComputedStyle(link).display !== 'inline') return false;
    let around = link.parentElement;
    while (getComputedStyle(around).display === 'inline') around = around.parentElement;
    const links = [...around.querySelectorAll('a')].map((a) => a.textContent ?? '').join('');
    return (around.textContent ?? '').replace(/\s/g, '').length > links.replace(/\s/g, '').length + 3;
  };
  const targets = [
    ...document.querySelectorAll(
      'a[href], button, input:not([type=hidden]), select, textarea, summary, canvas',
    ),
  ]
    .filter((element) => shown(element) && !inLine(element))
    .map((element) => {
      const touched =
        element.closest('label') ??
        (element.closest('svg') ? (element.querySelector('.d-touch') ?? element) : element);
      return { element, box: touched.getBoundingClientRect() };
    })
    .filter(({ box }) => box.width > 1 && box.height > 1);
  for (const { element, box } of targets) {
    const [w, h] = [Math.round(box.width * 10) / 10, Math.round(box.height * 10) / 10];
    if (w < least || h < least) faults.push(`${named(element)} is ${w} × ${h} px`);
  }
  for (const [k, a] of targets.entries()) {
    for (const b of targets.slice(k + 1)) {
      if (a.element.contains(b.element) || b.element.contains(a.element)) continue;
      const across = Math.max(a.box.left - b.box.right, b.box.left - a.box.right);
      const down = Math.max(a.box.top - b.box.bottom, b.box.top - a.box.bottom);
      const gap = Math.round(Math.max(across, down) * 10) / 10;
      if (gap < apart) faults.push(`${named(a.element)} is ${gap} px from ${named(b.element)}`);
    }
  }

  // Every line of words, by the box of its letters.
  const lines = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node !== null; node = walker.nextNode()) {
    const of = node.parentElement;
    if (/^\s*$/.test(node.textContent ?? '') || !shown(of) || of.closest('option, script, textarea') !== null)
      continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) if (box.width > 1) lines.push({ of, box });
  }
  for (const { of, box } of lines) {
    if (box.left < -0.5 || box.right > wide + 0.5)
      faults.push(
        `words of ${named(of)} stand outside, from ${Math.round(box.left)} to ${Math.round(box.right)}`,
      );
    for (let around = of; around !== null && around !== document.body; around = around.parentElement) {
      const style = getComputedStyle(around);
      if (around.localName === 'svg' || style.overflowX === 'visible' || style.display === 'inline') continue;
      const edge = around.getBoundingClientRect();
      if (box.right > edge.right + 1 || box.left < edge.left - 1 || box.bottom > edge.bottom + 2)
        faults.push(`words of ${named(of)} are cut by <${around.localName}>`);
    }
    const frame = of.closest('button, .button, .word, td, th, dd, label, .card');
    const inside = frame?.getBoundingClientRect();
    if (inside !== undefined && (box.right > inside.right + 1 || box.left < inside.left - 1))
      faults.push(`words of ${named(of)} run out of their frame`);
  }
  // Two lines may touch by their ascents and descents: a quarter of each is left out.
  const core = lines.map(({ of, box }) => ({
    of,
    ...{ left: box.left, right: box.right },
    ...{ top: box.top + box.height / 4, bottom: box.bottom - box.height / 4 },
  }));
  core.sort((a, b) => a.top - b.top);
  for (const [k, a] of core.entries()) {
    for (let j = k + 1; j < core.length; j += 1) {
      const b = core[j];
      if (b.top >= a.bottom) break;
      if (b.left + 1 < a.right && a.left + 1 < b.right)
        faults.push(`${named(a.of)} lies over ${named(b.of)}`);
    }
  }
  for (const select of document.querySelectorAll('select')) {
    if (!shown(select)) continue;
    const style = getComputedStyle(select);
    const pen = document.createElement('canvas').getContext('2d');
    pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    const room =
      select.clientWidth - Number.parseFloat(style.paddingLeft) - Number.parseFloat(style.paddingRight);
    for (const { text } of select.selectedOptions) {
      const rows = Math.ceil(pen.measureText(text).width / room);
      if (rows > 1 && rows * Number.parseFloat(style.lineHeight) > select.clientHeight)
        faults.push(`${named(select)} cuts “${text}”`);
    }
  }
  for (const list of document.querySelectorAll('.readings')) {
    const starts = [...list.querySelectorAll('.figures')].map((row) => row.getBoundingClientRect().left);
    if (Math.max(...starts) - Math.min(...starts) > 1)
      faults.push(`the figures of ${named(list)} do not stand in line`);
  }
  return [...new Set(faults)];
})();
