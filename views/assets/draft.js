// Keeps what was typed in a form with data-draft on this phone until the server has it. One store for each person; another
// person on the same phone neither sees nor sends it. No service worker: a page on a workshop's network may have none.
import { backTo, draftId, fill, foot, keep, person, placeOf, sentNote } from './kept.js';
import { isWithoutForm, tellWithoutForm, wordsOf } from './without-form.js';

const keptHere = 'Kept on this phone, not sent yet.';
const call = (mode, work) => keep('drafts', mode, work);

if (person) {
  const forgotten = forgetSent().catch(() => undefined);
  const forms = [...document.querySelectorAll('form[data-draft]')];
  Promise.allSettled([forgotten, ...forms.map((form) => keepDraft(form, forgotten))])
    .then(() => tellOfOthers(forms.map(draftId)))
    .catch(() => undefined);
} else {
  // Whoever is not signed in has sent nothing: the draft waits until they are.
  sessionStorage.removeItem(sentNote);
}

async function keepDraft(form, forgotten) {
  const id = draftId(form);
  const status = addStatus(form, id);
  let typed = typedAhead(form);
  const put = () =>
    call('readwrite', (store) => {
      const typed = { fields: fieldsOf(form), words: wordsOf(form) };
      return store.put({ id, at: Date.now(), ...typed, ...placeOf(form) }, id);
    });
  // Each change is kept at once, one after the other: a page can be left at any moment.
  let newest = forgotten;
  const save = async (whatThen = keptHere) => {
    typed = true;
    form.dataset.kept = 'not yet';
    const mine = newest.then(put, put);
    newest = mine;
    const sentence = await mine.then(
      () => whatThen,
      () => 'This phone would not keep what you typed: send it before you leave the page.',
    );
    if (mine !== newest) return;
    if (sentence === whatThen) form.dataset.kept = 'yes';
    status.show(sentence);
  };
  form.addEventListener('input', () => save());
  form.addEventListener('change', () => save());
  // The page that comes after a form that was taken says so; only then is the draft forgotten.
  form.addEventListener('submit', (event) => {
    // A form of the work waits for the server by itself; any other is sent by hand once there is a connection.
    if (!navigator.onLine && !('waits' in form.dataset && !event.submitter?.hasAttribute('formaction'))) {
      event.preventDefault();
      save('No connection. Kept on this phone; send it when there is one.');
      return;
    }
    // A button that sends the form elsewhere (a photo that goes ahead) sends what was typed along, and it stays a draft.
    if (event.submitter?.hasAttribute('formaction')) return;
    sessionStorage.setItem(sentNote, JSON.stringify({ id }));
  });
  addEventListener('online', () => status.retell('There is a connection again: send it now.'));
  if (typed) save();

  await forgotten;
  const kept = await call('readonly', (store) => store.get(id));
  // After a refusal the page carries what was typed; a draft of an earlier visit must not cover it, nor what is typed now.
  const refused = document.querySelector('.errors, [data-filled]') !== null;
  if (kept === undefined || refused || typed) return;
  fill(form, kept.fields);
  status.show(`From ${new Date(kept.at).toLocaleString()}: kept on this phone, not sent yet.`, true);
}

// Over a slow signal somebody types before this script is here. What a browser puts back after a reload or on the way back is no typing.
function typedAhead(form) {
  if (performance.getEntriesByType('navigation')[0]?.type !== 'navigate') return false;
  const asServed = form.cloneNode(true);
  asServed.reset();
  return JSON.stringify(fieldsOf(form)) !== JSON.stringify(fieldsOf(asServed));
}

// After a form was sent: a page without a refusal means that it was taken, and only then is the draft forgotten.
async function forgetSent() {
  const note = sessionStorage.getItem(sentNote);
  if (note === null) return;
  sessionStorage.removeItem(sentNote);
  const { id } = JSON.parse(note);
  const refusal = document.querySelector('.errors, [data-refused]');
  if (refusal === null) await call('readwrite', (store) => store.delete(id));
  // Its key belongs to what was sent first; what was typed since goes under a key of its own.
  if (refusal?.dataset.refused === 'form-key-reused') {
    const kept = await call('readonly', (store) => store.get(id));
    const fields = kept?.fields.filter(([name]) => name !== '_key');
    if (kept) await call('readwrite', (store) => store.put({ ...kept, fields }, id));
  }
}

// Forms that wait on other pages are named on every page, with the way to them; of a form that this page no longer has it is said here.
async function tellOfOthers(here) {
  const drafts = await call('readonly', (store) => store.getAll());
  for (const draft of drafts)
    if (isWithoutForm(draft) && draft.id !== undefined && !here.includes(draft.id))
      tellWithoutForm('Kept on this phone, and not sent: the form is not on this page any more.', draft, () =>
        call('readwrite', (store) => store.delete(draft.id)),
      );
  const paths = [...new Set(drafts.map((draft) => draft.path))].filter((path) => path !== location.pathname);
  if (paths.length === 0) return;
  const box = document.createElement('div');
  box.className = 'draft-status';
  box.setAttribute('role', 'status');
  const text = document.createElement('p');
  text.textContent =
    paths.length === 1
      ? 'A form is kept on this phone, not sent yet:'
      : `${paths.length} forms are kept on this phone, not sent yet:`;
  box.append(text);
  for (const path of paths) {
    const link = document.createElement('a');
    link.href = path;
    link.textContent = drafts.find((draft) => draft.path === path)?.title ?? path;
    box.append(link);
  }
  foot().prepend(box);
}

function fieldsOf(form) {
  const fields = [];
  for (const [name, value] of new FormData(form)) {
    const control = form.elements.namedItem(name);
    if (name !== '_csrf' && control?.type !== 'password' && typeof value === 'string')
      fields.push([name, value]);
  }
  return fields;
}

function addStatus(form, id) {
  const box = document.createElement('div');
  box.className = 'draft-status';
  box.hidden = true;
  const text = document.createElement('p');
  text.setAttribute('role', 'status');
  const drop = document.createElement('button');
  drop.type = 'button';
  drop.textContent = 'Throw it away';
  drop.addEventListener('click', async () => {
    await call('readwrite', (store) => store.delete(id));
    form.reset();
    backTo(form);
  });
  // An emptied form has nothing here any more: it was thrown away, or it waits for the server and is told of at the window's foot.
  form.addEventListener('reset', () => {
    box.hidden = true;
  });
  box.append(text, drop);
  // While somebody ticks, nothing above their thumb may move: the next tap would meet another box. So it stands at the end of the
  // form, and once it is seen it never shrinks; what a page brings with it is said at the window's foot.
  form.append(box);
  const show = (sentence, fromBefore = false) => {
    if (fromBefore) foot().prepend(box);
    if (!box.hidden) box.style.minHeight = `${box.getBoundingClientRect().height}px`;
    box.hidden = false;
    text.textContent = sentence;
  };
  return { show, retell: (sentence) => (box.hidden ? undefined : show(sentence)) };
}

// A second tap is not a second form; the server would answer the second like the first, but the person would see a refusal.
addEventListener('submit', (event) => {
  const form = event.target;
  if (event.defaultPrevented) return;
  if (form.dataset.sending) event.preventDefault();
  form.dataset.sending = 'yes';
  setTimeout(() => delete form.dataset.sending, 4000);
});
addEventListener('pageshow', () => {
  for (const form of document.forms) delete form.dataset.sending;
});
