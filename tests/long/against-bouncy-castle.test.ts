import type { Buffer } from 'node:buffer';
import { beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { signPdf } from '../../src/record/sign-pdf.js';
import { stampPdf } from '../../src/record/stamp-pdf.js';
import { timestampAuthority } from '../../src/record/timestamp-authority.js';
import { runJava } from '../outside/java-tool.js';
import {
  type AuthorityWish,
  honest,
  opensslAuthority,
  timestampServer,
} from '../record/openssl-authority.js';
import { cutSignature, filesIn, flipped } from '../record/outside-tool.js';
import { sampleRecord } from '../record/sample-record.js';
import { smallRecord, testSigner } from '../record/small-record.js';

/** BouncyCastle (Debian's libbcpkix-java) as a third reader of signatures: it digests the signed attributes in DER order. */

let cms: Buffer;
let covered: Buffer;
beforeAll(async () => {
  ({ cms, covered } = cutSignature(await sampleRecord(testSigner())));
});

async function stampedRecord(address: string): Promise<Buffer> {
  const issuedAt = new Date(Math.floor(Date.now() / 1000) * 1000);
  const signer = testSigner(new Date(Date.now() - 86_400_000));
  const pdf = await signPdf(await smallRecord(signer, issuedAt), signer);
  return (await stampPdf({ pdf, issuedAt: issuedAt.toISOString() }, timestampAuthority(address))).pdf;
}

function verdict(signature: Buffer, content: Buffer): string {
  const files = filesIn({ cms: signature, content });
  return runJava('CheckSignature', [files.cms, files.content]).split('\n')[0]!;
}

describe('BouncyCastle', () => {
  test.each<AuthorityWish>([{}, { key: 'rsa', digest: 'sha512' }, { withoutRoot: true }])(
    'verifies the signature of a stamped record and the timestamp over it %j',
    async (wish) => {
      const server = await timestampServer(honest(opensslAuthority(wish)));
      onTestFinished(() => server.close());
      const stamped = await stampedRecord(server.address);
      const parts = cutSignature(stamped);
      const files = filesIn({ cms: parts.cms, content: parts.covered });
      expect(runJava('CheckTimestamp', [files.cms, files.content]).trim().split('\n')).toEqual([
        'signature true',
        'timestamp true',
      ]);
    },
  );

  test('verifies the signature of a record', () => {
    expect(verdict(cms, covered)).toBe('verified true');
  });

  test('refuses it over bytes of which one is changed', () => {
    expect(verdict(cms, flipped(covered, 30_000))).toMatch(/^refused|^verified false/);
  });
});
