import { expect, test } from 'vitest';
import { ipv6Words } from '../../../src/web/session/ipv6-words.js';

test.each<[string, number[]]>([
  ['::', [0, 0, 0, 0, 0, 0, 0, 0]],
  ['::1', [0, 0, 0, 0, 0, 0, 0, 1]],
  ['2001:db8::', [0x2001, 0xdb8, 0, 0, 0, 0, 0, 0]],
  ['2001:0DB8::a:9', [0x2001, 0xdb8, 0, 0, 0, 0, 0xa, 9]],
  ['2001:db8:1:2:3:4:5:6', [0x2001, 0xdb8, 1, 2, 3, 4, 5, 6]],
  ['fe80::1%eth0', [0xfe80, 0, 0, 0, 0, 0, 0, 1]],
  ['::ffff:192.0.2.7', [0, 0, 0, 0, 0, 0xffff, 0xc000, 0x207]],
  ['64:ff9b::192.0.2.7', [0x64, 0xff9b, 0, 0, 0, 0, 0xc000, 0x207]],
])('an IPv6 address is eight words: %s', (address, words) => {
  expect(ipv6Words(address)).toEqual(words);
});
