import type { Buffer } from 'node:buffer';
import type { RecordInput } from '../../src/record/document/record-input.js';
import type { IssueFacts, IssueRequest } from '../../src/record/issue-record.js';
import { issueRecord } from '../../src/record/issue-record.js';
import type { Signer } from '../../src/record/keys.js';
import { rulesVersion } from '../../src/trade/rules-version.js';
import { driver, photoBytes, type SampleWish, sampleJob, signature } from './sample-job.js';

export const sampleFacts: IssueFacts = {
  job: '2026-014',
  shop: 'Thimble Lane Vanworks',
  reach: '555-0142',
  revision: 1,
  issuedAt: '2026-03-04T10:00:00Z',
  issuedBy: 'Ines Okafor',
  worksAlone: false,
  signature: signature('Ines Okafor'),
  units: 'imperial',
  zone: 'UTC',
  instruments: [driver],
};

/** The same with what the issue puts in by itself, for what is composed without a key. */
export const sampleInput: RecordInput = {
  ...sampleFacts,
  fingerprint: 'a'.repeat(64),
  rootFingerprint: 'b'.repeat(64),
  rules: rulesVersion,
};

/** What is asked of `issueRecord` for the sample job. */
export async function sampleRequest(
  signer: Signer,
  wish: SampleWish = {},
  facts: Partial<IssueFacts> = {},
): Promise<IssueRequest> {
  const assessment = await sampleJob(wish);
  return {
    assessment,
    facts: { ...sampleFacts, worksAlone: wish.worksAlone ?? false, ...facts },
    photos: (id) => photoBytes.get(id),
    signer,
    jobFile: JSON.stringify({ format: 'inlet-job/1', entries: assessment.log.entries }),
  };
}

/** The sample job's record, signed. */
export async function sampleRecord(
  signer: Signer,
  wish: SampleWish = {},
  facts: Partial<IssueFacts> = {},
): Promise<Buffer> {
  return (await issueRecord(await sampleRequest(signer, wish, facts))).pdf;
}
