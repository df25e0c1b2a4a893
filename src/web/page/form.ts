import type { FastifyRequest } from 'fastify';
import type { z } from 'zod';
import { issueSentence } from '../../circuit/issue-sentence.js';
import { capital } from '../../circuit/quantity-text.js';
import { tooLong } from '../../circuit/text-field.js';
import type { Issue, Result } from '../../errors.js';

/** What was typed on a form, by field name; a field that came more than once keeps all its values. */
export type Typed = Readonly<Record<string, string | readonly string[]>>;

/** The same with one text a field: a field that came more than once counts with its last. Nothing is trusted, nothing is lost. */
export type FlatTyped = Readonly<Record<string, string>>;

export function flat(typed: Typed): FlatTyped {
  return Object.fromEntries(Object.keys(typed).map((name) => [name, one(typed, name)]));
}

/** What must be mended where a text has more characters than an entry takes; nothing where it has not. */
export function overLong(field: string, text: string, most = 500): Issue[] {
  return text.length > most ? [{ field, message: tooLong(most) }] : [];
}

/** What a template needs to draw a form again with what was typed and what must be mended. */
interface Form {
  readonly csrf: string;
  /** A fresh key each time it is read: one for each form on a page. */
  readonly key: string;
  /** The newest entry that a page of a job was drawn from, as `meanwhile` names it. */
  readonly seen: string | undefined;
  /** Whose page it is: the id of whoever is signed in. */
  readonly by: string | undefined;
  /** The address of the page that the form stands on. */
  readonly page: string | undefined;
  readonly issues: readonly Issue[];
  /** The id of a field's control, which the error summary links to. */
  id(name: string): string;
  value(name: string, otherwise?: string | number | undefined): string;
  /** Whether a tick, a radio or an option is the one that was chosen. */
  chosen(name: string, option: string, otherwise?: string | boolean | undefined): boolean;
  issue(name: string): string | undefined;
  /** Whether a field came back filled in, or with an issue: what it is folded into stands open then. */
  opens(name: string): boolean;
  /** The ids of the hint, of what is expected and of the issue beside a field, as far as it has them. */
  describedBy(name: string, hint?: unknown, expected?: unknown): string;
  /** An issue as a sentence for the summary, its field named in words. */
  labelled(issue: Issue): string;
}

/**
 * What every form carries hidden: its session's token, a key of its own that makes it one entry however often it is sent, on a
 * page of a job the newest entry that the page was drawn from, and for what was typed to find back to its form and its writer
 * (`kept-form`) the page's address and who was signed in.
 */
export interface FormTokens {
  readonly csrf: string;
  readonly key: () => string;
  readonly seen?: string | undefined;
  readonly by?: string | undefined;
  readonly page?: string | undefined;
}

export function makeForm(
  tokens: FormTokens,
  typed: Typed,
  issues: readonly Issue[],
  labels: Readonly<Record<string, string>> = {},
): Form {
  const sent = Object.keys(typed).length > 0;
  const issueOf = (name: string) => issues.find((issue) => issue.field === name)?.message;
  return {
    csrf: tokens.csrf,
    get key() {
      return tokens.key();
    },
    seen: tokens.seen,
    by: tokens.by,
    page: tokens.page,
    issues,
    id: fieldId,
    value: (name, otherwise) => (sent && name in typed ? one(typed, name) : String(otherwise ?? '')),
    chosen: (name, option, otherwise) =>
      sent ? many(typed, name).includes(option) : otherwise === option || otherwise === true,
    issue: issueOf,
    opens: (name) => one(typed, name) !== '' || issueOf(name) !== undefined,
    describedBy(name, hint, expected) {
      const id = fieldId(name);
      const beside = { hint, expected, issue: issueOf(name) !== undefined };
      return Object.entries(beside)
        .flatMap(([part, there]) => (there ? [`${id}-${part}`] : []))
        .join(' ');
    },
    labelled({ field, message }) {
      if (field === '' || /^\p{Lu}/u.test(message)) return message;
      return `${labels[field] ?? capital(fieldWords(field))}: ${message}`;
    },
  };
}

/** The id of the control for a field such as `run.0.feed.lengthM`. */
export function fieldId(name: string): string {
  return `f-${name.replace(/[^A-Za-z0-9_-]/g, '-')}`;
}

/** A field's name as words: `run.0.feed.lengthM` is "run 1, feed, length". */
export function fieldWords(name: string): string {
  const parts = name.split('.').map((part) =>
    /^\d+$/.test(part)
      ? String(Number(part) + 1)
      : part
          .replace(/(?<=[a-z])(M|Mm|Cm3|Nm|C|Ohms)$/, '')
          .replace(/([a-z])([A-Z])/g, '$1 $2')
          .toLowerCase(),
  );
  return parts.join(', ').replace(/, (\d+)/g, ' $1');
}

const hiddenFields = new Set(['_csrf', '_key', '_seen', '_by', '_page', '_waited']);

/** What stands in the address where its route says `:name`; '' where the route has no such part. */
export function inAddress(
  { params }: FastifyRequest,
  name: 'job' | 'step' | 'reading' | 'entry' | 'token',
): string {
  return (params as Readonly<Record<string, string | undefined>>)[name] ?? '';
}

/** The fields of the form that was sent, without its tokens. Files are in `request.uploads`. */
export function typedOf(request: FastifyRequest): Typed {
  const body = (request.body ?? {}) as Record<string, unknown>;
  const typed: Record<string, string | string[]> = Object.create(null);
  for (const [name, value] of Object.entries(body)) {
    if (hiddenFields.has(name)) continue;
    if (typeof value === 'string') typed[name] = value;
    else if (Array.isArray(value)) typed[name] = value.filter((v) => typeof v === 'string');
  }
  return typed;
}

/** One of the hidden fields that a form carries, or '' where this one carried none. */
export function tokenOf(
  request: FastifyRequest,
  name: '_key' | '_seen' | '_by' | '_page' | '_waited',
): string {
  const token = (request.body as Record<string, unknown> | undefined)?.[name];
  return typeof token === 'string' ? token : '';
}

/** The key that the form carried, or '' where it carried none. */
export const keyOf = (request: FastifyRequest): string => tokenOf(request, '_key');

/** How long ago a form was filled in that waited on a phone for the server, ms; undefined where it came at once. */
export function waitedMs(request: FastifyRequest): number | undefined {
  const waited = tokenOf(request, '_waited');
  return /^\d{1,11}$/.test(waited) ? Number(waited) : undefined;
}

/** When a form that waited on a phone was filled in, by the age that it came with, ms since 1970; undefined where it came at once. */
export function filledInMs(request: FastifyRequest): number | undefined {
  const waited = waitedMs(request);
  return waited === undefined ? undefined : request.server.services.clock().getTime() - waited;
}

/** The last value of a field, '' where the form had no such field. */
export function one(typed: Typed, name: string): string {
  return many(typed, name).at(-1) ?? '';
}

/** All values of a field that may come more than once. */
export function many(typed: Typed, name: string): readonly string[] {
  const value = typed[name];
  if (value === undefined) return [];
  return typeof value === 'string' ? [value] : value;
}

/** Reads typed values by a schema; each issue names its field as `a.0.b`. */
export function read<S extends z.ZodType>(schema: S, values: unknown): Result<z.output<S>> {
  const parsed = schema.safeParse(values);
  if (parsed.success) return { ok: true, value: parsed.data };
  return {
    ok: false,
    issues: parsed.error.issues.map((issue) => ({
      field: issue.path.join('.'),
      message: issueSentence(issue, values),
    })),
  };
}
