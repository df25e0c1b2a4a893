import type { FastifyRequest } from 'fastify';
import { expect, test } from 'vitest';
import { formFrom } from '../../../src/web/session/how-it-came.js';

const own = 'https://logbook.shop.example';
const server = { services: { config: { address: own } } };
/** Where a form is said to come from that a browser sent with these headers to http://192.168.1.5:8080, or to another address. */
const from = (headers: Record<string, string>, host = '192.168.1.5:8080', protocol = 'http') =>
  formFrom({ protocol, headers: { host, ...headers }, server } as unknown as FastifyRequest);

test('a form of a page of this site comes from here, by whichever of the two words the browser gives', () => {
  const origin = 'http://192.168.1.5:8080';
  expect(from({ 'sec-fetch-site': 'same-origin', origin })).toBe('here');
  expect(from({ 'sec-fetch-site': 'same-origin' })).toBe('here');
  expect(from({ origin })).toBe('here');
  expect(from({ origin: own, 'sec-fetch-site': 'same-origin' }, 'inside:8080')).toBe('here');
});

test('one of another site, of a neighbour under the same name, or of nobody’s page comes from elsewhere', () => {
  const origin = 'http://192.168.1.5:8080';
  for (const site of ['cross-site', 'same-site'])
    expect({ site, from: from({ 'sec-fetch-site': site, origin }) }).toEqual({ site, from: 'elsewhere' });
  for (const other of ['null', 'https://evil.example', 'http://192.168.1.5:9090', 'https://192.168.1.5:8080'])
    for (const said of [{}, { 'sec-fetch-site': 'same-origin' }, { 'sec-fetch-site': 'none' }])
      expect({ other, said, from: from({ ...said, origin: other }) }).toMatchObject({ from: 'elsewhere' });
});

test('where a browser or a program says neither, nothing is taken from it', () => {
  expect([from({}), from({ 'sec-fetch-site': 'none' })]).toEqual(['unsaid', 'unsaid']);
});
