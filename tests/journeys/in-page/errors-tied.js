// Runs in a page and answers which errors a person is not led to or not told at their field; see page-heard.ts.
(() => {
  const words = (element) => (element.textContent ?? '').replace(/\s+/g, ' ').trim();
  const faults = [];
  for (const link of document.querySelectorAll('.errors a[href^="#"]')) {
    const there = document.getElementById(decodeURIComponent(link.hash.slice(1)));
    if (there === null || !there.checkVisibility()) faults.push(`“${words(link)}” leads to nothing`);
    else if (there.tabIndex < 0 && !there.hasAttribute('tabindex'))
      faults.push(`“${words(link)}” leads to something that takes no focus`);
  }
  for (const issue of document.querySelectorAll('.issue'))
    if (document.querySelector(`[aria-describedby~="${CSS.escape(issue.id)}"]`) === null)
      faults.push(`“${words(issue)}” is not told at its field`);
  for (const of of document.querySelectorAll('[aria-describedby]'))
    for (const id of of.getAttribute('aria-describedby').split(/\s+/))
      if (id !== '' && document.getElementById(id) === null)
        faults.push(`${of.getAttribute('name') ?? of.id} is described by ${id}, which is not there`);
  // Whoever speaks to the page says what they see.
  for (const named of document.querySelectorAll(':is(a, button, summary)[aria-label]'))
    if (
      words(named) !== '' &&
      !named.getAttribute('aria-label').toLowerCase().includes(words(named).toLowerCase())
    )
      faults.push(`“${words(named)}” is called “${named.getAttribute('aria-label')}”`);
  return faults;
})();
