// Runs in a page and answers where the keyboard stands, and whether that shows; see hands.ts.
(() => {
  const now = document.activeElement;
  const wanted = document.querySelector('[data-wanted]');
  const order = [...document.querySelectorAll('*')];
  // A round button is entered where its group is marked, and left by arrows: the group counts as one place.
  const place = (element) => {
    if (element === null || element === document.body) return -1;
    const group =
      element.type === 'radio'
        ? document.querySelector(`input[type=radio][name="${element.name}"]`)
        : element;
    return order.indexOf(group);
  };
  const sameGroup = now?.type === 'radio' && wanted?.type === 'radio' && now.name === wanted.name;
  const name = `<${now?.localName}> “${(now?.getAttribute('name') ?? now?.textContent ?? '').trim().slice(0, 40)}”`;
  const fault = () => {
    if (now === null || now === document.body) return '';
    const rings = [now, now.closest('.option'), now.querySelector?.('.d-touch')].filter(Boolean).map((at) => {
      const style = getComputedStyle(at);
      const stroked = at.classList?.contains('d-touch') && Number.parseFloat(style.strokeWidth) >= 3;
      return stroked || (style.outlineStyle !== 'none' && Number.parseFloat(style.outlineWidth) >= 2);
    });
    if (!rings.some(Boolean)) return 'has the focus and does not show it';
    const box = now.getBoundingClientRect();
    const seen = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
    return seen ? '' : 'has the focus outside the window';
  };
  // A date is written in parts, each a stop of its own: year, month, day and its calendar.
  const parts = now?.type === 'date' ? 4 : 1;
  return {
    name,
    parts,
    there: now === wanted || sameGroup,
    at: place(now),
    wanted: place(wanted),
    fault: fault(),
  };
})();
