import type { FastifyRequest } from 'fastify';
import { z } from 'zod';
import { jsonIn } from '../../circuit/json-text.js';
import { methodsAt } from '../routes.js';
import type { Services } from '../services.js';
import { changesThings, formFrom } from '../session/how-it-came.js';
import { many, type Typed, tokenOf, typedOf } from './form.js';
import type { KeptForm } from './kept-forms.js';
import { pathOf } from './own-path.js';

const shape = z.object({
  page: z.string().max(9000),
  by: z.string().max(80),
  seen: z.string().max(40),
  files: z.int().min(0),
  typed: z.record(z.string(), z.union([z.string(), z.array(z.string())])),
});

/**
 * So long a kept form may be as text, bytes: on the page to sign in, which an open address takes, and in the form of whoever is
 * signed in.
 */
const mostText = { signIn: 128 * 1024, person: 900_000 };

/** What comes back on no page, nor is kept anywhere. */
const secret = /^(passphrase.*|again|current|token|handle|link|kept)$/;
/** What the page gave, and nobody typed. */
const given = /^(takesPlaceOf|seq|next|list|entry|ask|act|revision|sketch)$|strokes$|\.(unit|id)$/;
/** Whose signature it is, is said by who sends it. */
const signature = /^signature\./;

/** What was typed, for a person to read. */
export function readable(typed: Typed): { name: string; value: string }[] {
  return Object.keys(typed)
    .filter((name) => !secret.test(name) && !given.test(name))
    .map((name) => ({ name, value: many(typed, name).join(', ') }))
    .filter(({ value }) => value.trim() !== '');
}

/** Whether a passphrase, or anything else that comes back on no page, was typed beside it. */
export function hasSecret(typed: Typed): boolean {
  return Object.keys(typed).some((name) => secret.test(name) && many(typed, name).join('') !== '');
}

/**
 * The form that was sent, to be brought back; undefined where nothing was typed in it, or where it did not come from a page of ours:
 * what another site had a browser send is put before nobody as if they had typed it.
 */
export function keptForm(request: FastifyRequest): KeptForm | undefined {
  const page = tokenOf(request, '_page');
  if (!changesThings(request) || formFrom(request) !== 'here' || !isPage(page)) return undefined;
  const all = typedOf(request);
  if (readable(all).length === 0) return undefined;
  const typed = Object.fromEntries(Object.entries(all).filter(([name]) => !secret.test(name)));
  const [by, seen] = [tokenOf(request, '_by'), tokenOf(request, '_seen')];
  return shape.safeParse({ page, by, seen, files: request.uploads?.length ?? 0, typed }).data;
}

/** A page of this site that stands at an address of its own. */
function isPage(address: string): boolean {
  return /^\/(?![/\\])[\x21-\x7e]*$/.test(address) && methodsAt(pathOf(address)).includes('GET');
}

/** A kept form as the text of a hidden field; undefined where it is too long for one. */
export function packed(kept: KeptForm, where: keyof typeof mostText): string | undefined {
  const text = JSON.stringify(kept);
  return Buffer.byteLength(text) > mostText[where] ? undefined : text;
}

/** The kept form of such a field; undefined where it is none. */
export function unpacked(text: string): KeptForm | undefined {
  const { data } = shape.safeParse(jsonIn(text));
  return data !== undefined && isPage(data.page) ? data : undefined;
}

/** Keeps a form for an hour for this person, and answers the address of its page where it is filled in again. */
export function keepFor({ keptForms }: Services, person: string, kept: KeptForm): string {
  return withAgain(kept.page, keptForms.keep(person, kept));
}

/** The address of what was kept last for this person, undefined where nothing is. */
export function keptLast({ keptForms }: Services, person: string): string | undefined {
  const last = keptForms.last(person);
  return last && withAgain(last.kept.page, last.id);
}

const withAgain = (page: string, id: string) => `${page}${page.includes('?') ? '&' : '?'}_again=${id}`;

/** The page's own address, without what asks for a form to be filled in again. */
export function withoutAgain(address: string): string {
  return address.replace(/[?&]_again=[\w-]*$/, '');
}

/** What a page is filled in with again, and what is said of it; undefined where its address does not ask for it. */
export function filledAgain(
  request: FastifyRequest,
): { kept: KeptForm | undefined; said: string } | undefined {
  const { services } = request.server;
  const { _again: id } = request.query as { readonly _again?: unknown };
  if (request.method !== 'GET' || typeof id !== 'string' || request.person === undefined) return undefined;
  const person = request.person.id;
  const kept = services.keptForms.find(id, person);
  if (kept?.page !== withoutAgain(request.url))
    return { kept: undefined, said: 'What was to be filled in here is not kept any more.' };
  const files = notKept(kept.files);
  if (kept.by === person)
    return {
      kept,
      said: `Filled in again, not sent yet: look through it, then send it. Nothing is written down until you do. ${files}`.trim(),
    };
  const typed = Object.fromEntries(Object.entries(kept.typed).filter(([name]) => !signature.test(name)));
  const writer = services.store.shop.state().people.find((p) => p.id === kept.by);
  const whose = writer === undefined ? 'Who typed this is not known' : `${writer.name} typed this`;
  return {
    kept: { ...kept, typed },
    said: `${whose}. It is filled in again, not sent yet: if you send it, it is written down under your name, so look through all of it first. ${files}`.trim(),
  };
}

/** What is said of the files that came with a form; '' where none did. */
export function notKept(files: number): string {
  if (files === 0) return '';
  return files === 1
    ? 'The file beside it, such as a photo, is not kept: choose it again.'
    : `The ${files} files beside it, such as photos, are not kept: choose them again.`;
}
