import { expect, test } from 'vitest';
import { makeThrottle, network, waitText } from '../../../src/web/session/sign-in-throttle.js';
import { standingClock } from '../../store/temp-store.js';

const ines = { account: 'ines', address: '192.0.2.7' };
const own = { ...ines, device: 'her-own-phone' };

test('a stranger who tries her name from a thousand addresses slows down strangers and not her own device, even at one address', () => {
  const clock = standingClock();
  const throttle = makeThrottle(clock);
  for (let k = 0; k < 1000; k += 1)
    throttle.counted({ account: 'ines', address: `198.51.${k % 250}.${k >> 2}` });
  for (let k = 0; k < 50; k += 1) throttle.counted(ines);
  expect(throttle.waitS(own)).toBe(0);
  expect(throttle.waitS(ines)).toBe(60);
  expect(throttle.waitS({ account: 'ines', address: '203.0.113.1' })).toBe(10);
  expect(throttle.waitS({ account: 'tam', address: '203.0.113.1' })).toBe(0);
  clock.move(61_000);
  expect(throttle.waitS(ines)).toBe(0);
});

test('wrong tries on her own device are slowed down as well, and one right try ends it', () => {
  const throttle = makeThrottle(standingClock());
  for (let k = 0; k < 5; k += 1) {
    expect(throttle.waitS(own)).toBe(0);
    throttle.counted(own);
  }
  expect(throttle.waitS(own)).toBe(1);
  for (let k = 0; k < 4; k += 1) throttle.counted(own);
  expect(throttle.waitS(own)).toBe(16);
  throttle.succeeded(own);
  expect(throttle.waitS(own)).toBe(0);
});

test('one address that tries many names is slowed down, and signing in oneself between does not clear it', () => {
  const throttle = makeThrottle(standingClock());
  const from = '192.0.2.9';
  for (let k = 0; k < 31; k += 1) throttle.counted({ account: `somebody-${k}`, address: from });
  const mine = { account: 'mallory', address: from };
  throttle.counted(mine);
  throttle.succeeded(mine);
  expect(throttle.waitS({ account: 'ines', address: from })).toBeGreaterThan(0);
});

test('a name that is tried from everywhere stays slow for strangers though its own person signs in between', () => {
  const throttle = makeThrottle(standingClock());
  for (let k = 0; k < 40; k += 1) throttle.counted({ account: 'ines', address: `198.51.100.${k}` });
  throttle.counted(ines);
  throttle.succeeded(ines);
  expect(throttle.waitS({ account: 'ines', address: '203.0.113.1' })).toBeGreaterThan(0);
});

test('who changes the address within one network is one address still', () => {
  const throttle = makeThrottle(standingClock());
  for (let k = 0; k < 31; k += 1)
    throttle.counted({ account: `somebody-${k}`, address: `2001:db8:1:2::${k}` });
  expect(throttle.waitS({ account: 'ines', address: '2001:db8:1:2::ffff' })).toBeGreaterThan(0);
  expect(throttle.waitS({ account: 'ines', address: '2001:db8:1:3::ffff' })).toBe(0);
});

test('who lets a wait pass and tries on waits as long again, until a quarter of an hour was quiet', () => {
  const clock = standingClock();
  const throttle = makeThrottle(clock);
  for (let k = 0; k < 20; k += 1) throttle.counted(own);
  for (const quietS of [60, 300, 890]) {
    clock.move(quietS * 1000);
    expect(throttle.waitS(own)).toBe(0);
    throttle.counted(own);
    expect(throttle.waitS(own)).toBe(60);
  }
  clock.move(910_000);
  expect(throttle.waitS(own)).toBe(0);
  throttle.counted(own);
  expect(throttle.waitS(own)).toBe(0);
});

test('tries of a quarter of an hour ago count no more, whether or not anybody asked how long to wait', () => {
  const clock = standingClock();
  const throttle = makeThrottle(clock);
  for (let k = 0; k < 20; k += 1) throttle.counted(own);
  clock.move(910_000);
  throttle.counted(own);
  expect(throttle.waitS(own)).toBe(0);
});

test('a shop whose people all sign in rightly from one address never waits', () => {
  const throttle = makeThrottle(standingClock());
  for (let k = 0; k < 100; k += 1) {
    const mine = { account: `person-${k % 2}`, address: '192.0.2.9' };
    expect(throttle.waitS(mine)).toBe(0);
    throttle.counted(mine);
    throttle.succeeded(mine);
  }
});

test('a right try passes though a flood of names made the throttle forget it on the way', () => {
  const throttle = makeThrottle(standingClock());
  throttle.counted(ines);
  for (let k = 0; k < 10_000; k += 1)
    throttle.counted({ account: `name-${k}`, address: `10.0.${k >> 8}.${k % 256}` });
  throttle.succeeded(ines);
  expect(throttle.waitS(ines)).toBe(0);
});

test('nobody waits for a clock that was set back', () => {
  const clock = standingClock();
  const throttle = makeThrottle(clock);
  for (let k = 0; k < 9; k += 1) throttle.counted(ines);
  expect(throttle.waitS(ines)).toBeGreaterThan(0);
  clock.move(-3_600_000);
  expect(throttle.waitS(ines)).toBe(0);
});

test('the counters of a flood of names take no more room than ten thousand', () => {
  const throttle = makeThrottle(standingClock());
  for (let k = 0; k < 20_000; k += 1)
    throttle.counted({ account: `name-${k}`, address: `10.0.${k >> 8}.${k % 256}` });
  expect(throttle.size).toBe(10_000);
});

test('nor does such a flood make it forget who is tried all the while', () => {
  const throttle = makeThrottle(standingClock());
  for (let k = 0; k < 20_000; k += 1) {
    throttle.counted({ account: `name-${k}`, address: `10.0.${k >> 8}.${k % 256}` });
    if (k % 1000 === 0) throttle.counted(ines);
  }
  expect(throttle.waitS(ines)).toBeGreaterThan(0);
});

test.each([
  ['192.0.2.7', '192.0.2.7'],
  ['::ffff:192.0.2.7', '192.0.2.7'],
  ['::FFFF:c000:207', '192.0.2.7'],
  ['2001:db8::ffff:192.0.2.7', '2001:db8:0:0'],
  ['2001:db8:1:2:3:4:5:6', '2001:db8:1:2'],
  ['2001:0db8:0001:0002::9', '2001:db8:1:2'],
  ['fe80::1%eth0', 'fe80:0:0:0'],
  ['::1', '0:0:0:0'],
])('an address counts by the network that one machine may hold: %s', (address, counted) => {
  expect(network(address)).toBe(counted);
});

test('a wait is said in words', () => {
  expect([waitText(1), waitText(2)]).toEqual(['1 second', '2 seconds']);
});
