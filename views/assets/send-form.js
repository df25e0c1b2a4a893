// How a form goes to the server by script, and what it answers.
import { person } from './kept.js';

// Photos over a slow signal take as long as the server reads a form (requestTimeout): given up sooner they would never arrive, nor
// would what waits behind them.
const answersIn = { words: 30_000, photos: 125_000 };

/** What is asked again later, whoever answers it. */
const passing = new Set([408, 425, 429]);

/**
 * Sends one form: `taken`, `refused` with reasons, `signedOut`, or none of these where the server does not answer. `never` says why it
 * does not arrive however often it is sent: something on the way would not let it through, or the photo that is `lost` cannot be read.
 */
export async function send({ at, action, fields, files }, token) {
  const lost = await unreadable(files);
  if (lost !== undefined)
    return {
      lost,
      never: `This phone can no longer read the photo ${lost}: choose it anew, and send the form again.`,
    };
  try {
    const body = files.length > 0 ? new FormData() : new URLSearchParams();
    body.append('_csrf', token ?? '');
    body.append('_waited', String(Math.max(0, Date.now() - at)));
    for (const [name, value] of fields) body.append(name, value);
    for (const [name, file] of files) body.append(name, file, file.name);
    const reply = await fetch(new URL(action).pathname, {
      method: 'POST',
      body,
      headers: { accept: 'application/json' },
      signal: AbortSignal.timeout(files.length > 0 ? answersIn.photos : answersIn.words),
    });
    const { status } = reply;
    if (status === 401) return { signedOut: true };
    if (status >= 500 || passing.has(status)) return {};
    const said = await reply.json().catch(() => undefined);
    // Only what our own server says counts: a form that somebody else answered in its place is not written down.
    if (reply.ok) return typeof said?.goTo === 'string' ? { taken: true, goTo: said.goTo } : {};
    if (Array.isArray(said?.problems)) return { status, refused: said.problems };
    return { never: stopped(status, files.length) };
  } catch {
    return {};
  }
}

function stopped(status, photos) {
  const large = status === 413 && photos > 0 ? ' It is too large for it: send fewer photos at once.' : '';
  return `Something between this phone and the server would not let it through (HTTP status ${status}).${large} Look whether it is written down; where it is not, fill it in again, or tell whoever looks after the network.`;
}

/** The name of a photo whose bytes are gone: cleared away since it was chosen, or lost by the phone while its form waited. */
async function unreadable(files) {
  for (const [, file] of files) {
    const bytes = await Promise.resolve()
      .then(() => file.slice(0, 1).arrayBuffer())
      .catch(() => undefined);
    if (!bytes?.byteLength) return file.name;
  }
  return undefined;
}

/** The session's `token`, as long as it is this person's session; else `signedOut`, or neither where the server does not answer. */
export async function ownSession() {
  try {
    const reply = await fetch('/form-token', { signal: AbortSignal.timeout(answersIn.words) });
    if (reply.redirected) return { signedOut: true };
    if (!reply.ok) return {};
    const said = await reply.json();
    return said.person === person ? { token: said.token } : { signedOut: true };
  } catch {
    return {};
  }
}
