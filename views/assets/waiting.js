// A form of the work (data-waits) that cannot reach the server waits on this phone, with its key, its time and its photos, and goes out
// by itself, in order, once the server answers: at every page, when the connection is back, by a button. What the server
// refuses is kept with its reasons. Nothing is sent for another person than the one who filled it in.
import { age, backTo, draftId, fill, foot, keep, person, placeOf, sentNote } from './kept.js';
import { ownSession, send } from './send-form.js';
import { addButton, boxWith, panel } from './waiting-panel.js';
import { isWithoutForm, tellWithoutForm, wordsOf } from './without-form.js';

const slowMs = 8000;
const again = { firstMs: 15_000, longestMs: 300_000 };
const oldMs = 3 * 86_400_000;
let afterMs = again.firstMs;
let timer;

const all = async () =>
  (await keep('waiting', 'readonly', (store) => store.getAll())).sort(
    (a, b) => (a.order ?? 0) - (b.order ?? 0) || a.at - b.at,
  );
const put = (form) => keep('waiting', 'readwrite', (store) => store.put(form, form.id));
const drop = (id) => keep('waiting', 'readwrite', (store) => store.delete(id));

if (person) {
  for (const form of document.querySelectorAll('form[data-waits]')) {
    form.addEventListener('submit', (event) => void sendOrKeep(event, form));
    foot();
    offerRefused(form).catch(() => undefined);
  }
  tellRefused().catch(() => undefined);
  addEventListener('online', () => void sendAll());
  document.addEventListener('visibilitychange', () => document.hidden || void sendAll());
  document.querySelector('form[action="/sign-out"]')?.addEventListener('submit', warnAtSignOut);
  sendAll();
} else tellOfWaiting().catch(() => undefined);

async function sendOrKeep(event, form) {
  // A button that sends the form elsewhere goes the plain way; so does a form that a script has decided about already.
  if (event.defaultPrevented || event.submitter?.hasAttribute('formaction')) return;
  event.preventDefault();
  if (form.dataset.sending) return;
  form.dataset.sending = 'yes';
  const waiting = takenFrom(form, event.submitter);
  const slow = setTimeout(() => panel('Still sending. Leave this page open.'), slowMs);
  let answer = await send(waiting, form.querySelector('[name=_csrf]')?.value);
  // Another session than the page was drawn in: of the same person, its own token opens it; of another, the form waits, photos and all.
  if (answer.status === 403) {
    const { token, ...without } = await ownSession();
    answer = token === undefined ? without : await send(waiting, token);
  }
  clearTimeout(slow);
  if (answer.taken) {
    await forget(waiting.id, draftId(form), form.refusedId);
    goOn(answer.goTo);
  } else if (answer.refused) {
    // The page that says what is to be mended comes the plain way; the key makes it one entry all the same.
    form.submit();
  } else if (answer.lost !== undefined) {
    // To keep it would keep no photo either: whoever looks on can take it again.
    panel(answer.never);
    delete form.dataset.sending;
  } else {
    await keepWaiting(waiting, form, answer.signedOut);
    delete form.dataset.sending;
  }
}

/** To the page that follows, anew even where it is this one at another place. */
function goOn(address) {
  const { pathname, search, href } = new URL(address, location);
  if (pathname !== location.pathname || search !== location.search) return location.assign(href);
  history.replaceState(null, '', href);
  location.reload();
}

async function keepWaiting(waiting, form, signedOut) {
  try {
    const queue = await all();
    // By its place in the queue, not by its time: a phone's clock may be set back between two forms.
    await put({ ...underOwnKey(waiting, queue), order: (queue.at(-1)?.order ?? 0) + 1 });
  } catch {
    panel('This phone would not keep the form. Leave it open and send it again when there is a connection.');
    return;
  }
  await forget(undefined, draftId(form), form.refusedId);
  // What is typed from here on is a draft of its own, and no page that follows means that it was taken.
  sessionStorage.removeItem(sentNote);
  navigator.storage?.persist?.();
  form.reset();
  // What is typed next is another form.
  form.elements.namedItem('_key').value = newKey();
  const then = signedOut
    ? 'You are signed out: sign in, and it goes out by itself.'
    : 'It goes out by itself when the server answers. You can go on.';
  await show(`Kept on this phone. ${then}`);
  later();
}

/** Two pages may have been filled in from one draft, with its key: what was changed on one of them is a form of its own. */
function underOwnKey(form, queue) {
  const said = ({ fields, files }) =>
    JSON.stringify([fields, files.map(([name, { name: file, size }]) => [name, file, size])]);
  if (!queue.some((one) => one.id === form.id && said(one) !== said(form))) return form;
  const id = newKey();
  return { ...form, id, fields: form.fields.map(([name, value]) => [name, name === '_key' ? id : value]) };
}

/** A key as the server makes them; a page without TLS has no randomUUID. */
function newKey() {
  return [...crypto.getRandomValues(new Uint8Array(16))]
    .map((byte) => byte.toString(16).padStart(2, '0'))
    .join('');
}

/** The form as it stands, with the moment in which it was filled in. Its id is its key. */
function takenFrom(form, submitter) {
  const data = new FormData(form);
  if (submitter?.name) data.append(submitter.name, submitter.value);
  const fields = [];
  const files = [];
  for (const [name, value] of data) {
    if (typeof value === 'string') {
      if (name !== '_csrf') fields.push([name, value]);
      // A field that was left empty has no name; a photo that was cleared away since has no bytes, and is missed by name.
    } else if (value.name !== '') files.push([name, value]);
  }
  return {
    id: String(data.get('_key')),
    at: Date.now(),
    action: form.action,
    ...placeOf(form),
    fields,
    files,
    words: wordsOf(form),
  };
}

/** Sends what waits, in order. Where a lock can be had, one page does it; the keys make twice as good as once anyhow. */
async function sendAll() {
  if (navigator.locks)
    await navigator.locks.request(`inlet-${person}`, { ifAvailable: true }, (lock) => lock && sendWaiting());
  else await sendWaiting();
}

async function sendWaiting() {
  clearTimeout(timer);
  const forms = (await all().catch(() => [])).filter((form) => form.refused === undefined);
  let sent = 0;
  for (const form of forms) {
    const { token } = await ownSession();
    if (token === undefined) break;
    const answer = await send(form, token);
    if (answer.taken) {
      await forget(form.id);
      sent += 1;
      continue;
    }
    // A form that never arrives would hold back all that waits behind it. The server has just answered, so the way to it is open.
    const refused = answer.refused ?? (answer.never && [answer.never]);
    if (refused === undefined) break;
    // On a phone that is full it is asked for again.
    await put({ ...form, refused }).catch(() => undefined);
  }
  await show(
    sent === 0
      ? undefined
      : `${sent === 1 ? 'One form that waited is' : `${sent} forms that waited are`} written down now.`,
  );
  const left = (await all().catch(() => [])).some((form) => form.refused === undefined);
  afterMs = sent > 0 ? again.firstMs : Math.min(afterMs * 2, again.longestMs);
  if (left) later();
}

function later() {
  clearTimeout(timer);
  timer = setTimeout(() => void sendAll(), afterMs);
}

async function forget(id, draft, refusedId) {
  for (const one of [id, refusedId]) if (one !== undefined) await drop(one).catch(() => undefined);
  if (draft !== undefined)
    await keep('drafts', 'readwrite', (store) => store.delete(draft)).catch(() => undefined);
}

/** On the page of a form that was refused: why, and a way to have it back as it was. */
async function offerRefused(form) {
  const action = new URL(form.action).pathname;
  const refused = (await all()).find((one) => one.refused && new URL(one.action).pathname === action);
  if (refused === undefined) return;
  const box = boxWith('Sent later and not taken:', refused.refused);
  box.querySelector('p').setAttribute('role', 'status');
  addButton(box, 'Fill it in again', () => {
    fill(form, refused.fields, ['_csrf', '_key', '_seen']);
    putFiles(form, refused.files);
    form.refusedId = refused.id;
    const photos = refused.files.length;
    box.querySelector('p').textContent =
      photos === 0
        ? 'Filled in again.'
        : `Filled in again, with ${photos === 1 ? 'its photo' : `its ${photos} photos`}.`;
  });
  addButton(box, 'Throw it away', () => {
    box.remove();
    backTo(form);
    void throwAway(refused.id);
  });
  foot().prepend(box);
}

/** Where the page has the form no more, its page says why it was not taken and what was typed. */
async function tellRefused() {
  const actions = Array.from(document.querySelectorAll('form[data-waits]'), ({ action }) => action);
  for (const form of await all())
    if (form.refused && isWithoutForm(form) && !actions.includes(form.action))
      tellWithoutForm(['Sent later and not taken:', ...form.refused].join(' '), form, () =>
        throwAway(form.id),
      );
}

const throwAway = (id) => drop(id).then(() => show());

function putFiles(form, files) {
  for (const name of new Set(files.map(([field]) => field))) {
    const chosen = new DataTransfer();
    for (const [field, file] of files) if (field === name) chosen.items.add(file);
    const input = form.elements.namedItem(name);
    if (input) input.files = chosen.files;
  }
}

/** What waits, with its age, on every page. */
async function show(news) {
  const forms = await all().catch(() => []);
  if (forms.length === 0 && news === undefined) return panel();
  const waiting = forms.filter((form) => form.refused === undefined);
  const refused = forms.filter((form) => form.refused !== undefined);
  const oldest = Date.now() - (waiting[0]?.at ?? Date.now());
  const sentences = [
    ...(news ? [news] : []),
    ...(waiting.length > 0
      ? [
          `${count(waiting.length)} on this phone for the server, ${waiting.length === 1 ? '' : 'the oldest '}for ${age(oldest)}.`,
        ]
      : []),
    ...(oldest > oldMs ? ['Some phones forget what waits for a week: find a connection soon.'] : []),
    ...(refused.length > 0
      ? [
          `${refused.length === 1 ? 'One form was' : `${refused.length} forms were`} not taken: open and mend.`,
        ]
      : []),
  ];
  panel(sentences.join(' '), forms, waiting.length > 0 ? () => void sendAll() : undefined);
}

const count = (n) => (n === 1 ? 'One form waits' : `${n} forms wait`);

/** Whoever signs out is told that what waits goes out only when they sign in again. */
function warnAtSignOut(event) {
  const waits = document.getElementById('waiting');
  if (waits === null || event.submitter?.dataset.sure) return;
  event.preventDefault();
  event.submitter.dataset.sure = 'yes';
  event.submitter.textContent = 'Sign out all the same';
  waits.querySelector('p').append(' After signing out it waits until you sign in again on this phone.');
}

/** Where nobody is signed in: that something waits or was not sent, and no word of what it says. */
async function tellOfWaiting() {
  const names = ((await indexedDB.databases?.()) ?? [])
    .map(({ name }) => name)
    .filter((name) => /^inlet-./.test(name));
  const countOf = async (kind) => {
    const counts = await Promise.all(
      names.map((name) =>
        keep(kind, 'readonly', (store) => store.count(), name.slice('inlet-'.length)).catch(() => 0),
      ),
    );
    return counts.reduce((sum, n) => sum + n, 0);
  };
  const total = await countOf('waiting');
  // Whoever was signed out while they typed, and looks where it went; where the page itself has it, that is said there.
  if (
    total === 0 &&
    !document.querySelector('[name=kept]') &&
    document.querySelector('form[action="/sign-in"], [data-refused="not-signed-in"]')
  ) {
    const drafts = await countOf('drafts');
    if (drafts > 0)
      panel(
        `What was typed in ${drafts === 1 ? 'a form' : `${drafts} forms`} is kept on this phone, not sent yet: sign in as whoever typed it, and it is there again.`,
      );
  }
  if (total > 0)
    panel(
      `${count(total)} on this phone: sign in as whoever filled ${total === 1 ? 'it' : 'them'} in, and ${total === 1 ? 'it goes' : 'they go'} on.`,
    );
}
