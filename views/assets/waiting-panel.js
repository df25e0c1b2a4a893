// What waits on this phone, as a person sees it.
import { foot } from './kept.js';

/** What waits, at the window's foot; nothing where there is no sentence. */
export function panel(sentence, forms = [], sendNow = undefined) {
  const before = document.getElementById('waiting');
  const hadFocus = before?.contains(document.activeElement);
  before?.remove();
  if (sentence === undefined) return;
  const box = boxWith(sentence, []);
  box.id = 'waiting';
  box.tabIndex = -1;
  if (forms.length > 0) {
    const list = document.createElement('ul');
    for (const { path, title, at, files, refused } of forms) {
      const item = document.createElement('li');
      const link = document.createElement('a');
      link.href = path;
      link.textContent = title;
      const photos = files.length === 0 ? '' : `, ${files.length} photo${files.length === 1 ? '' : 's'}`;
      const time = new Date(at).toLocaleString([], { dateStyle: 'short', timeStyle: 'short' });
      item.append(link, ` ${time}${photos}${refused ? `: ${refused.join(' ')}` : ''}`);
      list.append(item);
    }
    box.append(list);
  }
  if (sendNow) addButton(box, 'Send now', sendNow);
  foot();
  document.getElementById('said-aloud').append(box);
  if (hadFocus) (box.querySelector('button') ?? box).focus();
}

/** A box with a sentence. */
export function boxWith(sentence, lines) {
  const box = document.createElement('div');
  box.className = 'draft-status waiting';
  const text = document.createElement('p');
  text.textContent = [sentence, ...lines].join(' ');
  box.append(text);
  return box;
}

export function addButton(box, words, act) {
  const button = document.createElement('button');
  button.type = 'button';
  button.textContent = words;
  button.addEventListener('click', act);
  box.append(button);
}
