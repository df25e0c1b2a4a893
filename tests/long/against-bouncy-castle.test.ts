import type { Buffer } from 'node:buffer';
import { beforeAll, describe, expect, test } from 'vitest';
import { runJava } from '../outside/java-tool.js';
import { cutSignature, filesIn, flipped } from '../record/outside-tool.js';
import { sampleRecord } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';

/** BouncyCastle (Debian's libbcpkix-java) as a third reader of signatures: it digests the signed attributes in DER order. */

let cms: Buffer;
let covered: Buffer;
beforeAll(async () => {
  ({ cms, covered } = cutSignature(await sampleRecord(testSigner())));
});

function verdict(signature: Buffer, content: Buffer): string {
  const files = filesIn({ cms: signature, content });
  return runJava('CheckSignature', [files.cms, files.content]).split('\n')[0]!;
}

describe('BouncyCastle', () => {
  test('verifies the signature of a record', () => {
    expect(verdict(cms, covered)).toBe('verified true');
  });

  test('refuses it over bytes of which one is changed', () => {
    expect(verdict(cms, flipped(covered, 30_000))).toMatch(/^refused|^verified false/);
  });
});
