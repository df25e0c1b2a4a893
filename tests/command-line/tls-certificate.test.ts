import { X509Certificate } from 'node:crypto';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { openTlsCertificate } from '../../src/command-line/tls-certificate.js';
import { tempFolder } from '../store/temp-store.js';

const now = new Date('2026-11-25T08:00:00.000Z');
const inDays = (days: number) => new Date(now.getTime() + days * 86_400_000);

test('a certificate with its key is read by its owner alone, and valid at once for a year and little more', () => {
  const dir = tempFolder();
  const { cert } = openTlsCertificate(dir, '192.0.2.7', now);
  expect(statSync(`${dir}/tls.pem`).mode & 0o777).toBe(0o600);
  const { validFrom, validTo } = new X509Certificate(cert);
  expect(Date.parse(validFrom)).toBeLessThanOrEqual(now.getTime());
  expect(Date.parse(validTo)).toBeGreaterThan(inDays(365).getTime());
  // Common practice of browsers, no source: no more than 398 days in all.
  expect(Date.parse(validTo) - Date.parse(validFrom)).toBeLessThanOrEqual(398 * 86_400_000);
});

test('it is kept until two weeks before its end, and made anew where a clock that ran ahead had made it', () => {
  const dir = tempFolder();
  const made = (days: number) => openTlsCertificate(dir, '192.0.2.7', inDays(days)).fingerprint;
  const first = made(0);
  expect([made(100), made(380)]).toEqual([first, first]);
  const second = made(390);
  expect(second).not.toBe(first);
  expect(made(400)).toBe(second);
  expect(made(0)).not.toBe(second);
});

test.each([
  '192.0.2.7',
  'workshop.example',
  '::1',
  '2001:db8::',
  '2001:db8::7',
  '2001:db8:1:2:3:4:5:6',
  '::ffff:192.0.2.7',
])('it is made for the host that is asked for, kept for it, and made anew for another: %s', (host) => {
  const dir = tempFolder();
  openTlsCertificate(dir, '127.0.0.1', now);
  const { cert, fingerprint } = openTlsCertificate(dir, host, now);
  const read = new X509Certificate(cert);
  expect(host.includes('example') ? read.checkHost(host) : read.checkIP(host)).toBe(host);
  expect(read.checkIP('127.0.0.1')).toBeUndefined();
  expect(openTlsCertificate(dir, host, now).fingerprint).toBe(fingerprint);
});

test('one for a part of the names of a machine is not kept for all of them', () => {
  const dir = tempFolder();
  const part = openTlsCertificate(dir, '127.0.0.1', now);
  const all = openTlsCertificate(dir, '0.0.0.0', now);
  expect(all.fingerprint).not.toBe(part.fingerprint);
  const read = new X509Certificate(all.cert);
  expect([read.checkHost('localhost'), read.checkIP('127.0.0.1')]).toEqual(['localhost', '127.0.0.1']);
});

test('a kept certificate that was spoilt is made anew, and does not keep the server from starting', () => {
  const dir = tempFolder();
  const first = openTlsCertificate(dir, '0.0.0.0', now);
  const whole = readFileSync(`${dir}/tls.pem`, 'utf8');
  for (const spoilt of ['', 'x', whole.slice(0, -200), whole.replace(/A/g, 'B')]) {
    writeFileSync(`${dir}/tls.pem`, spoilt);
    const made = openTlsCertificate(dir, '0.0.0.0', now);
    expect(made.fingerprint).not.toBe(first.fingerprint);
    expect(openTlsCertificate(dir, '0.0.0.0', now)).toEqual(made);
  }
});
