import { Buffer } from 'node:buffer';
import { beforeAll, describe, expect, test } from 'vitest';
import { readElement } from '../../src/record/der.js';
import { issueRecord } from '../../src/record/issue-record.js';
import { readSignedData } from '../../src/record/signed-data.js';
import { timestampAuthority } from '../../src/record/timestamp-authority.js';
import {
  honest,
  type OpensslAuthority,
  opensslAuthority,
  timestampServer,
} from '../record/openssl-authority.js';
import { cutSignature, filesIn, runTool } from '../record/outside-tool.js';
import { sampleRequest } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';

/** OpenSSL's own timestamp authority and judge (RFC 3161), and the readers of records, on a record that carries a timestamp. */

const signer = testSigner(new Date(Date.now() - 86_400_000));

async function issuedBy(authority: OpensslAuthority) {
  const server = await timestampServer(honest(authority));
  const request = await sampleRequest(signer, {}, { issuedAt: `${new Date().toISOString().slice(0, 19)}Z` });
  const issued = await issueRecord({ ...request, authority: timestampAuthority(server.address) });
  await server.close();
  const { cms, covered } = cutSignature(issued.pdf);
  const { timestamp, signature } = readSignedData(readElement(cms).whole);
  return { issued, cms, covered, token: timestamp!, signature };
}

const kinds = {
  'on a curve': opensslAuthority(),
  'with RSA and SHA-512': opensslAuthority({ key: 'rsa', digest: 'sha512', nameDigest: 'sha512' }),
  'without its root': opensslAuthority({ withoutRoot: true }),
};
const made = new Map<string, Awaited<ReturnType<typeof issuedBy>>>();
beforeAll(async () => {
  for (const [kind, authority] of Object.entries(kinds)) made.set(kind, await issuedBy(authority));
});

describe.each(Object.keys(kinds) as (keyof typeof kinds)[])(
  'a timestamp by an authority that signs %s',
  (kind) => {
    test('holds for openssl ts -verify over the signature, and over nothing else', () => {
      const { token, signature } = made.get(kind)!;
      const { root, between } = kinds[kind];
      const files = filesIn({ token, signature, other: Buffer.from('other'), root, between });
      const verdict = (data: string) =>
        runTool('openssl', [
          ...['ts', '-verify', '-token_in', '-in', files.token, '-data', data],
          ...['-CAfile', files.root, '-untrusted', files.between],
        ]).text;
      expect(verdict(files.signature)).toContain('Verification: OK');
      expect(verdict(files.other)).toContain('Verification: FAILED');
    });

    test('leaves the signature valid for openssl cms -verify -cades', () => {
      const { cms, covered } = made.get(kind)!;
      const files = filesIn({ cms, covered, root: signer.root });
      const { code, text } = runTool('openssl', [
        ...['cms', '-verify', '-binary', '-inform', 'DER', '-cades', '-purpose', 'any', '-out', '/dev/null'],
        ...['-CAfile', files.root, '-content', files.covered, '-in', files.cms],
      ]);
      expect(text).toContain('CAdES Verification successful');
      expect(code).toBe(0);
    });

    test('leaves the record whole for pdfsig and qpdf', () => {
      const { pdf } = made.get(kind)!.issued;
      const { path } = filesIn({ path: pdf });
      const seen = runTool('pdfsig', ['-nocert', path]).text;
      expect(seen).toContain('Signature is Valid');
      expect(seen).toContain('Total document signed');
      expect(runTool('qpdf', ['--check', path]).code).toBe(0);
    });

    test('says the time and the name that openssl ts reads from it', () => {
      const { token, issued } = made.get(kind)!;
      const { text } = runTool('openssl', [
        'ts',
        '-reply',
        '-token_in',
        '-in',
        filesIn({ token }).token,
        '-text',
      ]);
      const stamp = /Time stamp: (.*)/.exec(text)![1]!;
      expect(new Date(stamp).getTime()).toBe(Date.parse(issued.timestamp!.at));
      expect(text).toContain(issued.timestamp!.authority);
    });
  },
);
