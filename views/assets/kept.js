// What this phone keeps, one database for each person: drafts that are being typed, and forms that wait for the server.
export const person = document.body.dataset.person;
const stores = ['drafts', 'waiting'];

/** Runs one request in a store of the person's own database and answers with its result. */
export function keep(store, mode, work, whose = person) {
  return new Promise((resolve, reject) => {
    const open = indexedDB.open(`inlet-${whose}`, 2);
    open.onupgradeneeded = () => {
      for (const name of stores)
        if (!open.result.objectStoreNames.contains(name)) open.result.createObjectStore(name);
    };
    open.onerror = () => reject(open.error);
    open.onblocked = () => reject(new Error('another page holds an older version'));
    open.onsuccess = () => {
      const database = open.result;
      // Another page of a newer version may ask for the database while this one stands open.
      database.onversionchange = () => database.close();
      const failed = (error) => {
        database.close();
        reject(error);
      };
      try {
        const transaction = database.transaction(store, mode);
        const request = work(transaction.objectStore(store));
        transaction.oncomplete = () => {
          database.close();
          resolve(request.result);
        };
        transaction.onabort = () => failed(transaction.error);
      } catch (error) {
        // One that is damaged, or is being closed. Whoever waits for what never comes would neither go on nor be told.
        failed(error);
      }
    };
  });
}

/** The window's foot, where it is said what this phone keeps: nothing of the page moves for it. */
export function foot() {
  const there = document.getElementById('on-phone');
  if (there) return there;
  const place = document.createElement('aside');
  place.id = 'on-phone';
  place.setAttribute('aria-label', 'On this phone');
  // A screen reader says what comes into a place that was there before; what comes with its place may stay unsaid.
  const aloud = document.createElement('div');
  aloud.id = 'said-aloud';
  aloud.setAttribute('role', 'status');
  place.append(aloud);
  document.body.append(place);
  return place;
}

/** The browser tab's note that a form was sent: the next page without a refusal means that it was taken. */
export const sentNote = 'inlet-sent';

/** Where the focus goes when the button that was pressed goes away: to the form that it was about. */
export function backTo(form) {
  form.tabIndex = -1;
  form.focus({ preventScroll: true });
}

/** The key of a form's draft. */
export function draftId(form) {
  return `${new URL(form.action).pathname}${form.dataset.draft ? `#${form.dataset.draft}` : ''}`;
}

/** A page that was refused stands at the form's own address; the form itself is where the page before it was. */
export function placeOf(form) {
  const path = form.dataset.page ?? location.pathname;
  return { path, title: document.querySelector('h1')?.textContent ?? path };
}

/** Puts kept values back into a form; its tokens stay those of the page. */
export function fill(form, fields, own = ['_csrf']) {
  const values = new Map();
  for (const [name, value] of fields) values.set(name, [...(values.get(name) ?? []), value]);
  for (const control of form.elements) {
    if (!control.name || own.includes(control.name) || control.type === 'file' || control.type === 'submit')
      continue;
    const kept = values.get(control.name) ?? [];
    if (control.type === 'radio' || control.type === 'checkbox')
      control.checked = kept.includes(control.value);
    else if (kept.length > 0) {
      control.value = kept.shift();
      control.dispatchEvent(new Event('restored'));
    }
  }
}

/** "3 minutes", "2 hours", "4 days". */
export function age(ms) {
  const [count, unit] =
    ms < 5_400_000
      ? [Math.max(1, Math.round(ms / 60_000)), 'minute']
      : ms < 172_800_000
        ? [Math.round(ms / 3_600_000), 'hour']
        : [Math.round(ms / 86_400_000), 'day'];
  return `${count} ${unit}${count === 1 ? '' : 's'}`;
}
