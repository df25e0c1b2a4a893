import { createHmac, randomBytes, timingSafeEqual } from 'node:crypto';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { Services } from '../services.js';
import { cookieName, overTls } from './how-it-came.js';

/**
 * A device on which a person has signed in keeps a cookie that says so, under the shop's seal. It opens nothing: whoever has it is
 * only not held up by strangers who guess at the same name (see sign-in-throttle).
 */
const lastsS = 400 * 86_400;
const peopleAtMost = 6;

/** What this device is called where the person has signed in on it before; undefined where they have not. */
export function knownDevice(
  request: FastifyRequest,
  services: Services,
  person: string | undefined,
): string | undefined {
  if (person === undefined) return undefined;
  return marksOf(request)
    .find((mark) => isSealed(mark, person, services))
    ?.slice(0, idLetters);
}

/** Marks the device as one of this person's. Several people of a shop may share it. */
export function markDevice(
  request: FastifyRequest,
  reply: FastifyReply,
  services: Services,
  person: string,
): void {
  const marks = marksOf(request);
  if (marks.some((mark) => isSealed(mark, person, services))) return;
  const id = randomBytes(12).toString('base64url');
  const all = [`${id}${sealOf(id, person, services)}`, ...marks].slice(0, peopleAtMost);
  reply.setCookie(cookieName('inlet-device', request), all.join('.'), {
    path: '/',
    httpOnly: true,
    secure: overTls(request),
    sameSite: 'lax',
    maxAge: lastsS,
  });
}

const idLetters = 16;
const shape = /^[\w-]{59}$/;

function marksOf(request: FastifyRequest): string[] {
  const value = request.cookies[cookieName('inlet-device', request)] ?? '';
  return value
    .split('.')
    .filter((mark) => shape.test(mark))
    .slice(0, peopleAtMost);
}

function isSealed(mark: string, person: string, services: Services): boolean {
  const seal = Buffer.from(mark.slice(idLetters));
  const wanted = Buffer.from(sealOf(mark.slice(0, idLetters), person, services));
  return seal.length === wanted.length && timingSafeEqual(seal, wanted);
}

function sealOf(id: string, person: string, { store }: Services): string {
  return createHmac('sha256', store.secret.cookie).update(`device\n${person}\n${id}`).digest('base64url');
}
