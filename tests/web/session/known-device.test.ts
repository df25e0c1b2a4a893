import type { FastifyReply, FastifyRequest } from 'fastify';
import { expect, test } from 'vitest';
import type { Services } from '../../../src/web/services.js';
import { knownDevice, markDevice } from '../../../src/web/session/known-device.js';

const ofShop = (cookie: string) => ({ store: { secret: { cookie } } }) as unknown as Services;
const shop = ofShop('a'.repeat(64));

/** A browser that keeps the one cookie that it is given. */
function browser(value?: string) {
  const jar = new Map(value === undefined ? [] : [['inlet-device', value]]);
  const request = () =>
    ({ cookies: Object.fromEntries(jar), protocol: 'http', headers: {} }) as FastifyRequest;
  const reply = { setCookie: (name: string, set: string) => jar.set(name, set) } as unknown as FastifyReply;
  return {
    value: () => jar.get('inlet-device'),
    signIn: (person: string, services = shop) => markDevice(request(), reply, services, person),
    known: (person: string | undefined, services = shop) => knownDevice(request(), services, person),
  };
}

test('a device is known for whom it was marked, under this shop’s seal, and for nobody else', () => {
  const phone = browser();
  expect(phone.known('ines')).toBeUndefined();
  phone.signIn('ines');
  expect(phone.known('ines')).toMatch(/^[\w-]{16}$/);
  expect([phone.known('tam'), phone.known(undefined), phone.known('ines', ofShop('b'.repeat(64)))]).toEqual(
    Array(3).fill(undefined),
  );
});

test('its mark is read by no script, and over TLS it comes back over nothing else', () => {
  const set = (protocol: string) => {
    const said: unknown[] = [];
    const request = { cookies: {}, protocol, headers: {} } as unknown as FastifyRequest;
    const reply = { setCookie: (...all: unknown[]) => said.push(...all) } as unknown as FastifyReply;
    markDevice(request, reply, shop, 'ines');
    return said;
  };
  const closed = { httpOnly: true, sameSite: 'lax', path: '/' };
  expect(set('http')).toMatchObject(['inlet-device', expect.any(String), { ...closed, secure: false }]);
  expect(set('https')).toMatchObject([
    '__Host-inlet-device',
    expect.any(String),
    { ...closed, secure: true },
  ]);
});

test('it keeps its name at the next sign-in, and several people of a shop may share it', () => {
  const phone = browser();
  phone.signIn('ines');
  const own = phone.known('ines');
  phone.signIn('tam');
  phone.signIn('ines');
  expect(phone.known('ines')).toBe(own);
  expect(phone.known('tam')).not.toBe(own);
  expect(phone.value()?.split('.')).toHaveLength(2);
});

test('of more than six people the one who came first is forgotten', () => {
  const bench = browser();
  const people = ['p1', 'p2', 'p3', 'p4', 'p5', 'p6', 'p7'];
  for (const person of people) bench.signIn(person);
  expect(people.filter((p) => bench.known(p) !== undefined)).toEqual(people.slice(1));
});

test('a mark with another’s name, or with one letter changed, is none', () => {
  const phone = browser();
  phone.signIn('ines');
  const mark = phone.value()!;
  const swap = (k: number) => `${mark.slice(0, k)}${mark[k] === 'x' ? 'y' : 'x'}${mark.slice(k + 1)}`;
  for (const changed of [swap(0), swap(20), mark.slice(1), `${mark}x`, ''])
    expect({ changed, known: browser(changed).known('ines') }).toEqual({ changed, known: undefined });
  expect(browser(`made-up.${mark}`).known('ines')).toBe(phone.known('ines'));
});
