import type { Buffer } from 'node:buffer';
import type { Script } from '../../seed-demo/play-job.js';
import { foldJob } from '../../src/logbook/job-log.js';
import { type IssueFacts, issueRecord } from '../../src/record/issue-record.js';
import type { Signer } from '../../src/record/keys.js';
import type { TimestampAuthority } from '../../src/record/timestamp-authority.js';
import { assess } from '../../src/steps/assess.js';
import { played } from '../steps/played.js';
import { photoBytes, sampleJob } from './sample-job.js';
import { sampleFacts } from './sample-record.js';
import { testSigner } from './small-record.js';

/** When a signer's certificate must have begun, for the record of a played job. */
export const playedSigner = (): Signer => testSigner(new Date('2026-09-01T09:00:00Z'));

/** The record of a whole job played through the gate, with pictures that its entries name by their digests: what is attached gives it again. */
export async function playedRecord(
  signer: Signer,
  facts: Partial<IssueFacts> = {},
  authority?: TimestampAuthority,
): Promise<Buffer> {
  await sampleJob();
  const pictures = [...photoBytes.keys()];
  let taken = 0;
  const photo: NonNullable<Script['photo']> = (_, ask) => ({
    ...{ photo: pictures[taken++ % pictures.length]!, original: '0'.repeat(64) },
    ...{ caption: ask.label, widthPx: 480, heightPx: 360, ask: ask.id },
  });
  const entries = played(undefined, { photo });
  const { pdf } = await issueRecord({
    assessment: assess(foldJob(entries))!,
    facts: { ...sampleFacts, job: '2026-001', issuedAt: '2026-09-20T10:00:00Z', ...facts },
    photos: (id) => photoBytes.get(id),
    signer,
    jobFile: JSON.stringify({ format: 'inlet-job/1', entries }),
    authority,
  });
  return pdf;
}
