import { Buffer } from 'node:buffer';
import { X509Certificate } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { members, readElement } from '../../src/record/der.js';
import { fromPem, makeShopKeys, openSigner } from '../../src/record/keys.js';
import { readSignedData, signedAttributes } from '../../src/record/signed-data.js';

const now = new Date('2026-03-02T09:00:00Z');
const secret = 'kept elsewhere';
const keys = makeShopKeys({ shopName: 'Thimble Lane Vanworks', now, secret });

describe('the keys of a shop', () => {
  test('are a root that signs certificates and a leaf under it that signs records', () => {
    const root = new X509Certificate(keys.root);
    const leaf = new X509Certificate(keys.certificate);
    expect([root.ca, leaf.ca]).toEqual([true, false]);
    expect(leaf.checkIssued(root) && leaf.verify(root.publicKey)).toBe(true);
    expect(leaf.keyUsage).toEqual(['1.3.6.1.5.5.7.3.4', '1.3.6.1.5.5.7.3.36']);
    expect(leaf.publicKey.asymmetricKeyDetails?.namedCurve).toBe('prime256v1');
  });

  test('are known by the SHA-256 of their certificates', () => {
    const plain = (pem: string) => new X509Certificate(pem).fingerprint256.replaceAll(':', '').toLowerCase();
    expect([keys.fingerprint, keys.rootFingerprint]).toEqual([plain(keys.certificate), plain(keys.root)]);
  });

  test('are kept encrypted and open with their secret only', () => {
    expect(keys.encryptedKey).toContain('BEGIN ENCRYPTED PRIVATE KEY');
    expect(keys.encryptedRootKey).toContain('BEGIN ENCRYPTED PRIVATE KEY');
    expect(openSigner({ ...keys, secret }).fingerprint).toBe(keys.fingerprint);
    expect(() => openSigner({ ...keys, secret: 'another' })).toThrow('does not open with this secret');
    expect(() => makeShopKeys({ shopName: 'x', now, secret: '' })).toThrow('without a secret');
  });

  test('that do not belong together are refused', () => {
    const other = makeShopKeys({ shopName: 'Thimble Lane Vanworks', now, secret });
    expect(() => openSigner({ ...keys, encryptedKey: other.encryptedKey, secret })).toThrow(
      'does not belong',
    );
    expect(() => openSigner({ ...keys, certificate: 'no PEM', secret })).toThrow('cannot be read');
  });

  test('carry a long name cut to what a certificate may hold, and letters of any script', () => {
    const long = makeShopKeys({ shopName: 'Żółć & Söhne '.repeat(9), now, secret });
    expect(new X509Certificate(long.certificate).subject).toContain('Żółć & Söhne');
    expect(new X509Certificate(long.root).validTo).toContain('2056');
  });
});

describe('a signature', () => {
  const bytes = Buffer.from('signed bytes');
  test('has its attributes in ascending order of their encodings, and no signing time', async () => {
    const parts = readSignedData(Buffer.from(await openSigner({ ...keys, secret }).sign(bytes)));
    const attributes = members(readElement(parts.attributes)).map((a) => a.whole);
    expect(attributes).toHaveLength(3);
    expect([...attributes].sort(Buffer.compare)).toEqual(attributes);
    const types = attributes.map((a) => members(readElement(a))[0]!.content.toString('hex'));
    expect(types).toContain('2a864886f70d010910022f');
    expect(types).not.toContain('2a864886f70d010905');
  });

  test('covers what it was made for and nothing else', async () => {
    const leaf = fromPem(keys.certificate);
    const pieces = [Buffer.from('signed '), Buffer.from('bytes')];
    expect(signedAttributes([bytes], leaf)).toEqual(signedAttributes(pieces, leaf));
    expect(signedAttributes([bytes], leaf)).not.toEqual(signedAttributes(pieces.toReversed(), leaf));
    expect(signedAttributes([bytes], leaf)).not.toEqual(
      signedAttributes([Buffer.from('signed byteS')], leaf),
    );
  });
});
