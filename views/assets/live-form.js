// A form with data-live follows what is typed: the same page is asked for with the form's values, and what it has under the ids
// that data-live names takes the place of what stands here. Without this script the form's button does the same.
const asked = new WeakMap();

document.addEventListener('input', (event) => {
  const form = event.target.form;
  if (form?.dataset.live === undefined) return;
  const before = asked.get(form);
  clearTimeout(before?.timer);
  before?.stop.abort();
  const stop = new AbortController();
  asked.set(form, { stop, timer: setTimeout(() => follow(form, stop.signal), 200) });
});

async function follow(form, signal) {
  const address = new URL(form.action);
  address.search = new URLSearchParams(new FormData(form));
  try {
    const reply = await fetch(address, { signal, headers: { accept: 'text/html' } });
    const page = new DOMParser().parseFromString(await reply.text(), 'text/html');
    if (signal.aborted) return;
    const ids = form.dataset.live.split(' ');
    // A page without any of them is another page: signed out, or too many asked.
    if (!ids.some((id) => page.getElementById(id))) throw new Error('not this page');
    for (const id of ids) swap(document.getElementById(id), page.getElementById(id));
    const kept = new URL(reply.url);
    history.replaceState(history.state, '', kept.pathname + kept.search);
  } catch (error) {
    if (error.name !== 'AbortError') tell(form, 'This page could not follow. Press the button to see it.');
  }
}

function swap(old, next) {
  // What there is nothing more to say of goes; the list of what must be mended is the status line's while one types.
  if (old && !next) old.remove();
  if (!old || !next) return;
  if (old.getAttribute('role') === 'status') {
    // What is said again is not said twice to a person who listens.
    if (old.textContent !== next.textContent) old.replaceChildren(...next.childNodes);
  } else if (!old.contains(document.activeElement)) {
    keepTyped(old, next);
    old.replaceWith(next);
  } else if (next.children.length > 0 && [...next.children].every((child) => child.id)) {
    // What the person is in stays; what stands beside it is brought up to date.
    swapChildren(old, [...next.children]);
  }
}

function swapChildren(old, children) {
  const ids = new Set(children.map((child) => child.id));
  for (const child of [...old.children])
    if (!ids.has(child.id) && !child.contains(document.activeElement)) child.remove();
  let after = null;
  for (const child of children) {
    const same = [...old.children].find((c) => c.id === child.id);
    if (same) swap(same, child);
    else old.insertBefore(child, after ? after.nextSibling : old.firstChild);
    after = document.getElementById(child.id);
  }
}

// What was typed or unfolded since the page was asked for is newer than what came.
function keepTyped(old, next) {
  for (const fold of next.querySelectorAll('details[id]'))
    fold.open = old.querySelector(`#${fold.id}`)?.open ?? fold.open;
  for (const control of next.querySelectorAll('input:not([type=hidden]), select, textarea')) {
    const same = [...old.querySelectorAll(`[name="${CSS.escape(control.name)}"]`)].find(
      (c) => c.type !== 'checkbox' || c.value === control.value,
    );
    if (!same) continue;
    if (control.type === 'checkbox') control.checked = same.checked;
    else control.value = same.value;
  }
}

function tell(form, sentence) {
  const status = form.dataset.live
    .split(' ')
    .map((id) => document.getElementById(id))
    .find((element) => element?.getAttribute('role') === 'status');
  if (status) status.textContent = sentence;
}
