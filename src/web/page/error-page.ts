import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { AppError, type ErrorCode, errorList } from '../../errors.js';
import { changesThings } from '../session/how-it-came.js';
import { asksForScript, tellScript } from './for-script.js';
import { fieldWords, many, typedOf } from './form.js';
import { ownPath } from './own-path.js';
import { render } from './page.js';

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

/** Which methods an address takes. */
type MethodsAt = (path: string) => readonly string[];

/**
 * One page for every error: the sentence for what a person can mend, a reference alone for what they cannot. `methodsAt` tells an
 * address that there is not from one that is asked in another way.
 */
export function showErrors(app: FastifyInstance, methodsAt: MethodsAt): void {
  app.setErrorHandler(async (thrown, request, reply) => {
    const error = asAppError(thrown as FastifyError);
    logError(request, error, thrown);
    return sendErrorPage(reply, error, request.id, methodsAt);
  });
  app.setNotFoundHandler((request, reply) => {
    const allowed = methodsAt(request.url.split('?')[0]!);
    const unknown = allowed.length === 0 || allowed.includes(request.method);
    if (!unknown) reply.header('allow', allowed.join(', '));
    return sendErrorPage(reply, new AppError(unknown ? 'not-found' : 'wrong-method'), '', methodsAt);
  });
}

async function sendErrorPage(
  reply: FastifyReply,
  error: AppError,
  reference: string,
  methodsAt: MethodsAt,
): Promise<FastifyReply> {
  const hidden = error.code === 'unexpected';
  const model = {
    code: error.code,
    title: titles[error.code] ?? (hidden ? 'Something went wrong' : 'That cannot be done'),
    sentence: hidden ? errorList.unexpected.means : sentenceOf(error, reply.request),
    reference: error.status >= 500 ? reference : '',
    problems: error.issues,
    typed: typedAgain(reply.request),
    signIn: signInPath(reply.request, methodsAt),
  };
  // A session that could not be written is not written with the page that says so either.
  if (error.code === 'store-full' && reply.request.session?.isSaved() === false)
    reply.request.session = undefined as never;
  if (asksForScript(reply.request))
    return tellScript(reply, error.status, [model.sentence, ...error.issues.map((issue) => issue.message)]);
  if (error.code === 'too-many' && !reply.hasHeader('retry-after')) reply.header('retry-after', '60');
  try {
    return await render(reply, 'error', model, { status: error.status });
  } catch {
    return reply
      .code(error.status)
      .type('text/plain; charset=utf-8')
      .send(`${model.title}. ${model.sentence} ${reference}`);
  }
}

/** Whoever sends a form once their session is over asks first whether it was taken. */
function sentenceOf(error: AppError, request: FastifyRequest): string {
  if (error.code !== 'not-signed-in' || !changesThings(request)) return error.message;
  return 'You are no longer signed in, so nothing of this form was written. Sign in, and send it again.';
}

/** To sign in, and from there back to the page of the form that was sent, where it has that address. */
function signInPath(request: FastifyRequest, methodsAt: MethodsAt): string {
  const path = request.url.split('?')[0]!;
  const next = ownPath(path);
  return next !== '/' && methodsAt(path).includes('GET')
    ? `/sign-in?next=${encodeURIComponent(next)}`
    : '/sign-in';
}

/** What was typed, to be copied from the page: all but what is secret or no text. */
function typedAgain(request: FastifyRequest): { term: string; value: string }[] {
  const typed = typedOf(request);
  return Object.keys(typed)
    .filter(
      (name) => !/^(passphrase.*|again|current|token|handle|link|takesPlaceOf)$|strokes$|\.unit$/.test(name),
    )
    .map((name) => ({ term: fieldWords(name), value: many(typed, name).join(', ') }))
    .filter(({ value }) => value.trim() !== '');
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
