import { writeFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { runJava } from '../outside/java-tool.js';
import { cutSignature, filesIn, flipped, runTool } from '../record/outside-tool.js';
import { type IssuedKind, issuedKinds, type RecordKind, recordKinds } from '../record/record-kinds.js';
import { signatureSpan, spreadOver } from '../record/reworked-pdf.js';

/** What every outside reader says of every kind of record: poppler, qpdf, OpenSSL and BouncyCastle. PDFBox has a test of its own. */

let issued: Map<RecordKind, IssuedKind>;
beforeAll(async () => {
  issued = await issuedKinds();
});

describe.each(recordKinds)('a record %s', (kind) => {
  test('is taken by pdfsig, pdftotext, qpdf, openssl and BouncyCastle, and by our own check', async () => {
    const { pdf, request, document } = issued.get(kind)!;
    const { cms, covered } = cutSignature(pdf);
    const files = filesIn({ pdf, cms, covered, root: request.signer.root });

    const pdfsig = runTool('pdfsig', ['-nocert', files.pdf]).text;
    expect(pdfsig).toContain('Signature is Valid');
    expect(pdfsig).toContain('Total document signed');

    const words = runTool('pdftotext', [files.pdf, '-']).text.replace(/\s+/g, ' ');
    for (const { title } of document.sections) expect(words).toContain(title);

    const qpdf = runTool('qpdf', ['--check', files.pdf]);
    expect(qpdf.text).toContain('No syntax or stream encoding errors found');
    expect(qpdf.code).toBe(0);

    const openssl = runTool('openssl', [
      ...['cms', '-verify', '-binary', '-inform', 'DER', '-cades', '-purpose', 'any', '-out', '/dev/null'],
      ...['-CAfile', files.root, '-content', files.covered, '-in', files.cms],
    ]);
    expect(openssl.text).toContain('CAdES Verification successful');
    expect(openssl.code).toBe(0);

    expect(runJava('CheckSignature', [files.cms, files.covered]).trim()).toBe('verified true');

    const seen = await verifyRecord(pdf, { fingerprint: request.signer.rootFingerprint });
    expect(seen).toMatchObject({ state: 'intact', signer: 'known' });
    expect('timestamp' in seen).toBe(request.authority !== undefined);
  });

  test('with one byte changed at any of 300 places is refused by our check, and outside the signature by pdfsig as well', async () => {
    const { pdf } = issued.get(kind)!;
    const { path } = filesIn({ path: pdf });
    const where = spreadOver(pdf, 300);
    const { from, used } = signatureSpan(pdf);
    const missed: number[] = [];
    const taken: number[] = [];
    for (const [k, at] of where.entries()) {
      const changed = flipped(pdf, at, 1 << ((k + 3) % 8));
      if (!(await verifyRecord(changed)).state.startsWith('not-')) missed.push(at);
      writeFileSync(path, changed);
      const { text } = runTool('pdfsig', ['-nocert', path]);
      if (text.includes('Signature is Valid') && text.includes('Total document signed')) taken.push(at);
    }
    expect(new Set(where).size).toBe(300);
    expect(missed).toEqual([]);
    // Within the signature pdfsig looks neither at a timestamp nor at the certificates above the signer's.
    expect(taken.filter((at) => at < from || at > used)).toEqual([]);
    expect(taken.length).toBeLessThan(15);
  });
});
