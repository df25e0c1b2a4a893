import { expect, test } from 'vitest';
import { readTrustedProxies } from '../src/trusted-proxy.js';

test.each([
  ['127.0.0.1', ['127.0.0.1', '::ffff:127.0.0.1'], ['127.0.0.2', '::1', '']],
  ['10.0.0.0/24', ['10.0.0.1', '10.0.0.255'], ['10.0.1.0', '::ffff:10.0.1.0']],
  ['127.0.0.1, ::1', ['127.0.0.1', '::1'], ['::2']],
  ['fd00::/8', ['fd12:3456::1'], ['fe80::1', '127.0.0.1']],
  ['fe80::1', ['fe80::1%eth0'], ['fe80::2%eth0']],
])('%s is believed and nobody else', (text, believed, others) => {
  const trusts = readTrustedProxies(text);
  expect(believed.map((address) => trusts?.(address))).toEqual(believed.map(() => true));
  expect(others.map((address) => trusts?.(address))).toEqual(others.map(() => false));
});

test.each([
  ...['', ',', 'localhost', '127.0.0.1,', '127.0.0.1:80', '127.0.0', '10.0.0.0/33', '10.0.0.0/'],
  ...['10.0.0.0/-1', '10.0.0.0/24/8', '0.0.0.0/0', '::/0', '::1/129', 'fe80::1%eth0', 'true', '1', '*'],
])('"%s" names no proxy', (text) => {
  expect(readTrustedProxies(text)).toBeUndefined();
});
