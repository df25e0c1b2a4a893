import formbody from '@fastify/formbody';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { AppError } from '../../errors.js';
import { accessTo } from '../routes.js';
import { changesThings } from '../session/how-it-came.js';
import { many, type Typed, typedOf } from './form.js';

/** So long a form without files may be on its way, bytes: at an open address, and where somebody is signed in. */
export const formBytes = { open: 512 * 1024, closed: 3 * 1024 * 1024 };

/** So much may be typed in one form, characters: the pasted readings file is the longest that any page takes. */
const mostTyped = 500_000;

/**
 * Forms without files are read whole, and of whoever is signed in several times as far as any page takes them: what was typed is
 * there then to come back, and what has to be shortened has its name.
 */
export async function limitForms(app: FastifyInstance): Promise<void> {
  await app.register(formbody, { bodyLimit: formBytes.closed });
  app.addHook('onRoute', (route) => {
    if (route.method === 'POST' && accessTo('POST', route.url) === 'open') route.bodyLimit = formBytes.open;
  });
  app.addHook('preValidation', async (request) => {
    if (changesThings(request) && !bringsBack(request)) refuseLong(typedOf(request));
  });
}

/** The one form that carries another. */
function bringsBack({ routeOptions }: FastifyRequest): boolean {
  return routeOptions.url === '/again';
}

/** Refuses more words than any page takes, by the field that has most of them. */
export function refuseLong(typed: Typed, most = mostTyped): void {
  const lengths = Object.keys(typed).map((field) => ({ field, length: many(typed, field).join('').length }));
  if (lengths.reduce((sum, { length }) => sum + length, 0) <= most) return;
  const longest = lengths.reduce((a, b) => (b.length > a.length ? b : a));
  const message = `has ${longest.length.toLocaleString('en-US')} characters: shorten it`;
  throw new AppError('too-large', undefined, { issues: [{ field: longest.field, message }] });
}
