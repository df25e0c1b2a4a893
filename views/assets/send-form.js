// How a form goes to the server by script, and what it answers.
import { person } from './kept.js';

// Photos over a slow signal take as long as the server reads a form (requestTimeout): given up sooner they would never arrive, nor
// would what waits behind them.
const answersIn = { words: 30_000, photos: 125_000 };

/** Sends one form: `taken`, `refused` with reasons, `signedOut`, or none of these where the server does not answer. */
export async function send({ at, action, fields, files }, token) {
  const body = files.length > 0 ? new FormData() : new URLSearchParams();
  body.append('_csrf', token ?? '');
  body.append('_waited', String(Math.max(0, Date.now() - at)));
  for (const [name, value] of fields) body.append(name, value);
  for (const [name, file] of files) body.append(name, file, file.name);
  try {
    const reply = await fetch(new URL(action).pathname, {
      method: 'POST',
      body,
      headers: { accept: 'application/json' },
      signal: AbortSignal.timeout(files.length > 0 ? answersIn.photos : answersIn.words),
    });
    const { status } = reply;
    if (status === 401) return { signedOut: true };
    if (status >= 500 || status === 429) return {};
    const said = await reply.json();
    return reply.ok ? { taken: true, goTo: said.goTo } : { status, refused: said.problems };
  } catch {
    return {};
  }
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
