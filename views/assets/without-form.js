// What this phone keeps of a form that its page no longer has: the job rests, the circuit calls for the reading no more.
import { foot } from './kept.js';
import { addButton, boxWith } from './waiting-panel.js';

/** Whether this page should have a form of this page's address, and has it not; a page that says what went wrong has none in any case. */
export function isWithoutForm({ path }) {
  const refused = document.querySelector('[data-refused]')?.dataset.refused;
  return path === location.pathname && (refused ?? 'not-found') === 'not-found';
}

/** Shows what was typed, with its photos to be saved, and lets it be thrown away; nobody could see it or be rid of it otherwise. */
export function tellWithoutForm(sentence, { words, files = [] }, drop) {
  const typed = (words ?? []).map(([label, value]) => `${label}: ${value}`).join('; ');
  const box = boxWith(sentence, [typed === '' ? '' : `What was typed: ${typed}.`]);
  box.querySelector('p').setAttribute('role', 'status');
  for (const [, file] of files) {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(file);
    link.download = file.name;
    link.textContent = `Save the photo ${file.name}`;
    box.append(link);
  }
  addButton(box, 'Throw it away', () => {
    box.remove();
    document.getElementById('main').focus({ preventScroll: true });
    void drop();
  });
  foot().prepend(box);
}

/** What a person sees in a form, in the words of its page: each label, and what stands there. */
export function wordsOf(form) {
  const words = [];
  for (const control of form.elements) {
    const { type, labels, selectedOptions, dataset } = control;
    const value = selectedOptions?.[0]?.textContent ?? control.value;
    if (!control.name || !labels?.[0] || type === 'password' || type === 'file' || value === '') continue;
    const label = labels[0].textContent.trim();
    const ticked = type === 'radio' || type === 'checkbox';
    if (dataset.unitOf) {
      if (form.elements.namedItem(dataset.unitOf).value !== '') words.at(-1)[1] += ` ${value}`;
    } else if (!ticked) words.push([label, value]);
    else if (control.checked)
      words.push([control.closest('fieldset')?.querySelector('legend')?.textContent ?? 'Ticked', label]);
  }
  return words;
}
