import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError, type ErrorCode, errorList } from '../../errors.js';
import { methodsAt } from '../routes.js';
import { asksForScript, changesThings, formFrom } from '../session/how-it-came.js';
import { tellScript } from './for-script.js';
import { fieldWords, keyOf, many, one, typedOf } from './form.js';
import { filledAgain, hasSecret, keptForm, notKept, packed, unpacked } from './kept-form.js';
import type { KeptForm } from './kept-forms.js';
import { ownPath, pathOf } from './own-path.js';
import { render } from './page.js';
import { signInModel, typedFacts } from './sign-in-model.js';

const titles: Partial<Record<ErrorCode, string>> = {
  'not-found': 'Nothing here',
  'wrong-method': 'Not in this way',
  'not-allowed': 'Not yours to do',
  'not-signed-in': 'Sign in first',
  'form-token': 'The form was not taken',
  'form-key-reused': 'The form was not taken',
  'too-large': 'Too large',
  'too-many': 'Too many tries',
  'out-of-order': 'Not at this point yet',
  'logbook-broken': 'The logbook is closed for writing',
  'store-full': 'The disk would not take it',
};

/**
 * One page for every error: the sentence for what a person can mend, a reference alone for what they cannot; and what was typed in
 * the form that was not taken, with the way back into its form.
 */
export function showErrors(app: FastifyInstance): void {
  app.setErrorHandler(async (thrown, request, reply) => {
    const error = asAppError(thrown as FastifyError);
    logError(request, error, thrown);
    return sendErrorPage(reply, error, request.id);
  });
  app.setNotFoundHandler((request, reply) => {
    const allowed = methodsAt(pathOf(request.url));
    const unknown = allowed.length === 0 || allowed.includes(request.method);
    if (!unknown) reply.header('allow', allowed.join(', '));
    return sendErrorPage(reply, new AppError(unknown ? 'not-found' : 'wrong-method'), '');
  });
}

async function sendErrorPage(reply: FastifyReply, error: AppError, reference: string): Promise<FastifyReply> {
  const { request } = reply;
  const hidden = error.code === 'unexpected';
  const model = {
    code: error.code,
    title: titles[error.code] ?? (hidden ? 'Something went wrong' : 'That cannot be done'),
    sentence: hidden ? errorList.unexpected.means : sentenceOf(error, request),
    reference: error.status >= 500 ? reference : '',
    problems: error.issues.map(({ field, message }) => ({ field: fieldWords(field), message })),
    typed: typedFacts(filledAgain(request)?.kept?.typed ?? typedOf(request)),
    signIn: signInPath(request),
    ...waysBack(error, request),
  };
  // Ended while the form was on its way: another of nobody, so that the form to sign in is taken.
  if (error.code === 'not-signed-in' && request.person !== undefined) {
    request.person = undefined;
    await request.session.regenerate();
  }
  // A session that could not be written is not written with the page that says so either.
  if (error.code === 'store-full' && !isKept(request)) request.session = undefined as never;
  if (asksForScript(request))
    return tellScript(reply, error.status, [model.sentence, ...error.issues.map((issue) => issue.message)]);
  if (error.code === 'too-many' && !reply.hasHeader('retry-after')) reply.header('retry-after', '60');
  try {
    const signIn = signInAgain(error, request, model.sentence);
    if (signIn !== undefined) return await render(reply, 'sign-in', signIn.model, signIn.more);
    return await render(reply, 'error', model, { status: error.status });
  } catch (fault) {
    request.log.error({ err: fault }, 'the page of an error could not be drawn');
    return reply
      .code(error.status)
      .type('text/plain; charset=utf-8')
      .send(`${model.title}. ${model.sentence} ${reference}`);
  }
}

/** Whether the session is one that the store has, and not one that this request would begin. */
function isKept({ session, server }: FastifyRequest): boolean {
  return Boolean(session) && server.services.store.sessions.handleOf(session.sessionId) !== undefined;
}

/** Whoever sends a form once their session is over asks first whether it was taken. */
function sentenceOf(error: AppError, request: FastifyRequest): string {
  if (error.code !== 'not-signed-in' || !changesThings(request)) return error.message;
  return 'You are no longer signed in, so nothing of this form was written. Sign in, and send it again.';
}

/** Nobody may send these, or nothing is at their address: what was typed can only be copied. */
const shutCodes: ReadonlySet<ErrorCode> = new Set([
  'not-allowed',
  'not-found',
  'wrong-method',
  'not-signed-in',
]);

/**
 * What the page offers beside what was typed: the form filled in again for whoever is signed in; to send it again as it is, where its
 * sender looks at it and nothing but the server was in the way.
 */
function waysBack(error: AppError, request: FastifyRequest) {
  const kept = shutCodes.has(error.code) ? undefined : keptForm(request);
  if (kept === undefined) return {};
  const again = request.person === undefined ? undefined : packed(kept, 'person');
  const whole = kept.files === 0 && !hasSecret(typedOf(request));
  const inTheWay = error.status >= 500 || error.code === 'too-many';
  // An owner has no session that ends: their page was open for long, and they are the same.
  const isOwner = request.routeOptions.url?.startsWith('/o/') === true && error.code === 'form-token';
  return {
    again,
    filesSaid: notKept(kept.files),
    send:
      whole && (inTheWay || isOwner) ? { action: request.url, fields: fieldsOf(kept, request) } : undefined,
  };
}

/** Every field of a form as it came, but for its token. */
function fieldsOf(
  { typed, page, by, seen }: KeptForm,
  request: FastifyRequest,
): [name: string, value: string][] {
  const tokens = { _key: keyOf(request), _seen: seen, _by: by, _page: page };
  return [
    ...Object.entries(tokens).filter(([, value]) => value !== ''),
    ...Object.keys(typed).flatMap((name) =>
      many(typed, name).map((value): [string, string] => [name, value]),
    ),
  ];
}

/**
 * Where somebody has to sign in first, what they typed goes along on the page where they do; and what went along comes back where
 * signing in is refused by an error, such as too many tries.
 */
function signInAgain(error: AppError, request: FastifyRequest, sentence: string) {
  if (error.code === 'not-signed-in') {
    const kept = keptForm(request);
    if (kept === undefined) return undefined;
    const model = {
      ...signInModel(signInNext(request), kept),
      title: 'Sign in first',
      sentence,
      code: error.code,
    };
    return { model, more: { status: error.status } };
  }
  if (request.method !== 'POST' || request.routeOptions.url !== '/sign-in' || error.status >= 500)
    return undefined;
  const from = formFrom(request);
  if (from === 'elsewhere') return undefined;
  const typed = typedOf(request);
  const kept = from === 'here' ? unpacked(one(typed, 'kept')) : undefined;
  const model = { ...signInModel(ownPath(one(typed, 'next')), kept), code: error.code };
  return { model, more: { status: error.status, typed, issues: [{ field: '', message: sentence }] } };
}

/** To sign in, and from there back to the page of the form that was sent, where it has that address. */
function signInPath(request: FastifyRequest): string {
  const next = signInNext(request);
  return next === '/' ? '/sign-in' : `/sign-in?next=${encodeURIComponent(next)}`;
}

function signInNext(request: FastifyRequest): string {
  const path = pathOf(request.url);
  return methodsAt(path).includes('GET') ? ownPath(path) : '/';
}

/** Errors of the framework and its plugins, told in the words of the list. */
function asAppError(error: FastifyError): AppError {
  if (error instanceof AppError) return error;
  const code = byFrameworkCode[error.code] ?? byStatus[error.statusCode ?? 500];
  return new AppError(code ?? 'unexpected', undefined, { cause: error });
}

const byFrameworkCode: Readonly<Record<string, ErrorCode>> = {
  FST_CSRF_MISSING_SECRET: 'form-token',
  FST_CSRF_INVALID_TOKEN: 'form-token',
};
const byStatus: Readonly<Record<number, ErrorCode>> = {
  400: 'bad-request',
  403: 'not-allowed',
  404: 'not-found',
  413: 'too-large',
  415: 'bad-request',
  429: 'too-many',
};

/** Codes, addresses and names of fields: never what was typed, nor a token. */
function logError(request: FastifyRequest, error: AppError, thrown: unknown): void {
  const { person, routeOptions } = request;
  const line = { code: error.code, facts: error.facts, route: routeOptions.url, person: person?.id };
  if (error.status >= 500) request.log.error({ ...line, err: thrown }, 'request failed');
  else request.log.info(line, 'request refused');
}
