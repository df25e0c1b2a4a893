import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, test } from 'vitest';
import { AppError } from '../../src/errors.js';
import { type IssuedRecord, issueRecord } from '../../src/record/issue-record.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import type { Bar } from '../../src/steps/assessment.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { sampleRequest } from './sample-record.js';
import { testSigner } from './small-record.js';

const signer = testSigner();
let issued: IssuedRecord;
beforeAll(async () => {
  issued = await issueRecord(await sampleRequest(signer));
});

describe('the issue of a record', () => {
  test('gives a file that verifies, with its digest and the head of its logbook', async () => {
    const request = await sampleRequest(signer);
    expect(issued.sha256).toBe(createHash('sha256').update(issued.pdf).digest('hex'));
    expect(issued.head).toBe(request.assessment.log.entries.at(-1)!.digest);
    expect(await verifyRecord(issued.pdf, { fingerprint: signer.rootFingerprint })).toMatchObject({
      state: 'intact',
      signer: 'known',
      facts: {
        job: '2026-014',
        revision: 1,
        head: issued.head,
        shop: 'Thimble Lane Vanworks',
        rules: rulesVersion,
      },
    });
  });

  test('is refused while anything bars it, naming all of it', async () => {
    const request = await sampleRequest(signer);
    const barsIssue: readonly Bar[] = ['G2 Ground is failed.', 'T1 is not done.'].map((text) => ({
      text,
      about: { of: 'job' },
    }));
    const barred = issueRecord({ ...request, assessment: { ...request.assessment, barsIssue } });
    await expect(barred).rejects.toBeInstanceOf(AppError);
    await expect(barred).rejects.toMatchObject({
      code: 'out-of-order',
      issues: barsIssue.map(({ text }) => ({ field: 'job', message: text })),
    });
  });

  test('is refused where the attached logbook is not the one that the record is made from', async () => {
    const request = await sampleRequest(signer);
    const shorter = request.assessment.log.entries.slice(0, -1);
    await expect(
      issueRecord({ ...request, jobFile: JSON.stringify({ format: 'inlet-job/1', entries: shorter }) }),
    ).rejects.toThrow('does not verify');
  });

  test('is refused at a time before the key was made', async () => {
    const early = await sampleRequest(signer, {}, { issuedAt: '2020-01-01T00:00:00Z' });
    await expect(issueRecord(early)).rejects.toThrow('The signing certificate holds from 2026-03-02');
  });
});
