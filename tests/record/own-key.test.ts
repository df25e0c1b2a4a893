import { Buffer } from 'node:buffer';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { AppError } from '../../src/errors.js';
import { openSigner } from '../../src/record/keys.js';
import { keysFromPkcs12, tryKeys } from '../../src/record/own-key.js';
import { signPdf } from '../../src/record/sign-pdf.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { type OwnKeyWish, opensslOwnKey, ownPassphrase } from './openssl-own-key.js';
import { cutSignature, filesIn, runTool } from './outside-tool.js';
import { smallRecord } from './small-record.js';

const secret = 'kept elsewhere';
/** A while ahead, so that every certificate a test makes holds by then. */
const now = new Date(Math.floor(Date.now() / 1000) * 1000 + 1_800_000);
const brought = (file: Uint8Array, passphrase = ownPassphrase, at = now) =>
  keysFromPkcs12(file, { passphrase, now: at, secret });

function refusal(file: Uint8Array, passphrase = ownPassphrase, at = now): string {
  try {
    brought(file, passphrase, at);
  } catch (error) {
    expect(error).toBeInstanceOf(AppError);
    expect((error as AppError).code).toBe('bad-file');
    return (error as AppError).message;
  }
  return 'taken';
}

let own: ReturnType<typeof opensslOwnKey>;
beforeAll(() => {
  own = opensslOwnKey();
});

describe('a key from a PKCS#12 file', () => {
  test('signs records that are intact, and that OpenSSL and pdfsig call valid under the root in the file', async () => {
    const keys = brought(own.file);
    await tryKeys(keys, secret);
    const signer = openSigner({ ...keys, secret });
    const record = await signPdf(await smallRecord(signer, now), signer);
    expect(await verifyRecord(record, { fingerprint: keys.rootFingerprint })).toMatchObject({
      state: 'intact',
      signer: 'known',
      fingerprint: keys.fingerprint,
      rootFingerprint: keys.rootFingerprint,
    });
    const { cms, covered } = cutSignature(record);
    const files = filesIn({ cms, covered, root: own.root, record });
    const verdict = runTool('openssl', [
      ...['cms', '-verify', '-binary', '-inform', 'DER', '-cades', '-purpose', 'any', '-out', '/dev/null'],
      ...['-CAfile', files.root, '-content', files.covered, '-in', files.cms],
    ]).text;
    expect(verdict).toContain('CAdES Verification successful');
    expect(runTool('pdfsig', ['-nocert', files.record]).text).toContain('Signature is Valid');
    const { text } = runTool('openssl', ['x509', '-noout', '-fingerprint', '-sha256', '-in', files.root]);
    expect(text.split('=')[1]?.trim().replaceAll(':', '').toLowerCase()).toBe(keys.rootFingerprint);
  });

  test('is kept encrypted under the shop’s secret and not under the passphrase of the file', () => {
    const keys = brought(own.file);
    expect(keys.encryptedKey).toContain('BEGIN ENCRYPTED PRIVATE KEY');
    expect(keys.encryptedRootKey).toBeUndefined();
    expect(keys.certificate.match(/BEGIN CERTIFICATE/g)).toHaveLength(2);
    expect(() => openSigner({ ...keys, secret: ownPassphrase })).toThrow('does not open with this secret');
  });

  test('leaves no changed byte of its chain unseen in what it signs', async () => {
    const signer = openSigner({ ...brought(own.file), secret });
    const record = await signPdf(await smallRecord(signer, now), signer);
    const start = record.indexOf('/Contents <') + '/Contents <'.length;
    const length = 4 + cutSignature(record).cms.readUInt16BE(2);
    const missed: number[] = [];
    for (let byte = 0; byte < length; byte += 13) {
      const changed = Buffer.from(record);
      const value = Number.parseInt(record.toString('latin1', start + 2 * byte, start + 2 * byte + 2), 16);
      changed.write((value ^ (1 << (byte % 8))).toString(16).padStart(2, '0'), start + 2 * byte, 'latin1');
      if ((await verifyRecord(changed)).state !== 'not-intact') missed.push(byte);
    }
    expect(length).toBeGreaterThan(1000);
    expect(missed).toEqual([]);
  });

  test.each<[string, OwnKeyWish]>([
    ['under a root with RSA', { rootKey: 'rsa:3072' }],
    ['for documents and mail', { purpose: 'emailProtection,1.3.6.1.5.5.7.3.36', usage: 'nonRepudiation' }],
    ['closed with AES-128', { closed: ['-keypbe', 'AES-128-CBC', '-certpbe', 'AES-192-CBC'] }],
    ['with a check by SHA-512 and many rounds', { closed: ['-macalg', 'sha512', '-iter', '50000'] }],
    ['with a check by SHA-384', { closed: ['-macalg', 'sha384'] }],
    ['with its certificates in the open', { closed: ['-certpbe', 'NONE'] }],
    ['with certificates signed over SHA-384', { digest: 'sha384' }],
  ])('is taken %s', async (_what, wish) => {
    const keys = brought(opensslOwnKey(wish).file);
    await expect(tryKeys(keys, secret)).resolves.toBeUndefined();
  });

  test.each<[string, OwnKeyWish, string]>([
    ['of RSA', { key: 'rsa' }, 'holds an RSA key of 3072 bits; records are signed with a P-256 key only'],
    ['on another curve', { key: 'P-384' }, 'holds a secp384r1 key'],
    ['without the chain', { above: [] }, 'does not hold the chain'],
    ['without the root', { above: ['between'] }, 'does not hold the chain'],
    ['without what is between', { above: ['root'] }, 'does not hold the chain'],
    [
      'of an authority',
      { authority: true, usage: 'digitalSignature,keyCertSign' },
      'the certificate of an authority',
    ],
    ['for sealing keys only', { usage: 'keyEncipherment' }, 'is not for signing (key usage)'],
    ['without a usage', { usage: '' }, 'is not for signing (key usage)'],
    ['for servers', { purpose: 'serverAuth' }, 'for another purpose than signing documents'],
    ['under a weak root', { rootKey: 'rsa:2048' }, 'a weak key: Thimble Lane root (RSA needs 3072 bits)'],
    ['with certificates signed over SHA-1', { digest: 'sha1' }, 'of a kind that records do not carry'],
    [
      'closed the old way',
      { closed: ['-keypbe', 'PBE-SHA1-3DES', '-certpbe', 'PBE-SHA1-3DES'] },
      'is encrypted in an old way (no AES)',
    ],
    ['without a check', { closed: ['-nomac'] }, 'has no check over its content'],
  ])('is refused %s', (_what, wish, said) => {
    expect(refusal(opensslOwnKey(wish).file)).toContain(said);
  });

  test('is refused with another passphrase, before its time and after it', () => {
    expect(refusal(own.file, 'Bruckenkopf vier')).toBe(
      'The PKCS#12 file does not open with this passphrase.',
    );
    expect(refusal(own.file, '')).toContain('does not open with this passphrase');
    const later = new Date(now.getTime() + 400 * 86_400_000);
    expect(refusal(own.file, ownPassphrase, later)).toMatch(/holds from .* to .* and not now/);
    expect(refusal(own.file, ownPassphrase, new Date(now.getTime() - 86_400_000))).toContain('not now');
  });

  test('is refused with one sentence for any one changed byte, or is still the same key', () => {
    const whole = brought(own.file);
    let refusals = 0;
    for (let at = 0; at < own.file.length; at += 11) {
      const changed = Buffer.from(own.file);
      changed[at] = changed[at]! ^ (1 << (at % 8));
      if (refusal(changed) !== 'taken') refusals += 1;
      else expect({ ...brought(changed), encryptedKey: '' }).toEqual({ ...whole, encryptedKey: '' });
    }
    expect(refusals).toBeGreaterThan(own.file.length / 11 - 10);
  });

  test('is refused with one sentence where the count of its check has no length', () => {
    const changed = Buffer.from(own.file);
    // The count is what the file ends with: 2048 in two bytes, its length before them.
    expect(changed.subarray(-4).toString('hex')).toBe('02020800');
    changed[changed.length - 3] = 0;
    expect(refusal(changed)).toBe('The PKCS#12 file asks for more work than is taken on here.');
  });

  test('is refused with one sentence where the file is any bytes at all, cut short or longer', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        expect(refusal(bytes)).toMatch(/^The PKCS#12 file /);
      }),
    );
    for (let size = 0; size < own.file.length; size += 101)
      expect(refusal(own.file.subarray(0, size))).toBe('The PKCS#12 file is no PKCS#12 file.');
    expect(refusal(Buffer.concat([own.file, Buffer.from([0])]))).toContain('is no PKCS#12 file');
  });
});
