import type { Buffer } from 'node:buffer';
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Signer } from '../../src/record/keys.js';
import { cutSignature, filesIn, flipped, runTool } from '../record/outside-tool.js';
import { sampleRecord } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';

/** OpenSSL 3 as an independent judge of the signature (RFC 5652, RFC 5035) and of the certificates (RFC 5280). */

let signer: Signer;
let record: Buffer;
beforeAll(async () => {
  const now = Date.now();
  signer = testSigner(new Date(now - 86_400_000));
  record = await sampleRecord(signer, {}, { issuedAt: `${new Date(now).toISOString().slice(0, 19)}Z` });
});

function opensslVerify(pdf: Buffer, root = signer.root): { code: number; text: string } {
  const { cms, covered } = cutSignature(pdf);
  const files = filesIn({ 'root.pem': root, cms, covered });
  return runTool('openssl', [
    ...['cms', '-verify', '-binary', '-inform', 'DER', '-cades', '-purpose', 'any', '-out', '/dev/null'],
    ...['-CAfile', files['root.pem'], '-content', files.covered, '-in', files.cms],
  ]);
}

describe('openssl cms -verify -cades', () => {
  test('calls the signature of a record valid under the shop’s root', () => {
    const { code, text } = opensslVerify(record);
    expect(text).toContain('CAdES Verification successful');
    expect(code).toBe(0);
  });

  test('does so with the certificates that the record’s own first command takes out of the signature', () => {
    const { cms, covered } = cutSignature(record);
    const files = filesIn({ 'root.pem': '', cms, covered });
    const taken = runTool('openssl', [
      ...['cms', '-cmsout', '-noout', '-inform', 'DER', '-in', files.cms, '-certsout', files['root.pem']],
    ]);
    expect(taken).toMatchObject({ code: 0 });
    const held = readFileSync(files['root.pem'], 'utf8');
    expect(held.match(/BEGIN CERTIFICATE/g)?.length).toBeGreaterThan(1);
    expect(opensslVerify(record, held).code).toBe(0);
  });

  test('refuses it under another root', () => {
    expect(opensslVerify(record, testSigner(new Date(Date.now() - 86_400_000)).root).code).not.toBe(0);
  });

  test('refuses it when one byte of the file is changed, before the signature and behind it', () => {
    for (const at of [20_000, record.length - 400]) {
      expect(opensslVerify(flipped(record, at)).code).not.toBe(0);
    }
  });

  test('refuses it when one byte of the signature is changed', () => {
    const start = record.indexOf('/Contents <') + '/Contents <'.length;
    const { cms } = cutSignature(record);
    const length = 4 + cms.readUInt16BE(2);
    expect(opensslVerify(flipped(record, start + 2 * (length - 10))).code).not.toBe(0);
  });
});

describe('openssl asn1parse', () => {
  function attributeTypes(): string[] {
    const { cms } = cutSignature(record);
    const { text } = runTool('openssl', [
      'cms',
      '-cmsout',
      '-print',
      '-inform',
      'DER',
      '-in',
      filesIn({ cms }).cms,
    ]);
    const signed = text.slice(
      text.indexOf('signedAttrs'),
      text.indexOf('signatureAlgorithm', text.indexOf('signedAttrs')),
    );
    return [...signed.matchAll(/object: ([\w-]+)/g)].map((m) => m[1] as string);
  }

  test('sees content type, message digest and signing-certificate-v2, and no signing time', () => {
    expect(attributeTypes().sort()).toEqual([
      'contentType',
      'id-smime-aa-signingCertificateV2',
      'messageDigest',
    ]);
  });

  test('sees a leaf for signing under a root that may sign no further root', () => {
    const files = filesIn({ leaf: signer.certificate, root: signer.root });
    const leaf = runTool('openssl', ['x509', '-noout', '-text', '-in', files.leaf]).text;
    const root = runTool('openssl', ['x509', '-noout', '-text', '-in', files.root]).text;
    expect(leaf).toContain('Digital Signature, Non Repudiation');
    expect(leaf).toContain('E-mail Protection, 1.3.6.1.5.5.7.3.36');
    expect(leaf).toContain('CA:FALSE');
    expect(root).toContain('CA:TRUE, pathlen:0');
    expect(root).toContain('Certificate Sign, CRL Sign');
    expect(runTool('openssl', ['verify', '-x509_strict', '-CAfile', files.root, files.leaf]).code).toBe(0);
  });

  test('agrees on the fingerprint that the record prints', () => {
    const { text } = runTool('openssl', [
      'x509',
      '-noout',
      '-fingerprint',
      '-sha256',
      '-in',
      filesIn({ r: signer.root }).r,
    ]);
    expect(text.split('=')[1]?.trim().replaceAll(':', '').toLowerCase()).toBe(signer.rootFingerprint);
  });
});
