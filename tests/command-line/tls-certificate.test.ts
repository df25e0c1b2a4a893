import { readFileSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { openTlsCertificate } from '../../src/command-line/tls-certificate.js';
import { tempFolder } from '../store/temp-store.js';

test('a kept certificate that was spoilt is made anew, and does not keep the server from starting', () => {
  const dir = tempFolder();
  const now = new Date('2026-11-25T08:00:00.000Z');
  const first = openTlsCertificate(dir, '0.0.0.0', now);
  const whole = readFileSync(`${dir}/tls.pem`, 'utf8');
  for (const spoilt of ['', 'x', whole.slice(0, -200), whole.replace(/A/g, 'B')]) {
    writeFileSync(`${dir}/tls.pem`, spoilt);
    const made = openTlsCertificate(dir, '0.0.0.0', now);
    expect(made.fingerprint).not.toBe(first.fingerprint);
    expect(openTlsCertificate(dir, '0.0.0.0', now)).toEqual(made);
  }
});
