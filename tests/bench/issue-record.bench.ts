import { bench, describe } from 'vitest';
import { foldJob } from '../../src/logbook/job-log.js';
import { recordDocument } from '../../src/record/document.js';
import { drawPdf } from '../../src/record/draw-pdf.js';
import { issueRecord } from '../../src/record/issue-record.js';
import { assess } from '../../src/steps/assess.js';
import { photosOf } from '../../src/store/import-job.js';
import { readJobFile } from '../../src/store/job-file.js';
import { replayInMemory } from '../../src/store/replay-job.js';
import { sampleFacts } from '../record/sample-record.js';
import { testSigner } from '../record/small-record.js';
import { demoJobText } from '../store/demo-job-file.js';

/** The demonstration's job, as it stands before its record is issued. */
const file = readJobFile(demoJobText);
const entries = replayInMemory(file, sampleFacts.job);
const assessment = assess(foldJob(entries))!;
const kept = await photosOf(file);
const photos = (id: string) => kept.get(id)?.jpeg;
const signer = testSigner();
const { instruments } = file;
const facts = { ...sampleFacts, instruments };
const jobFile = JSON.stringify({ ...file, photos: {}, records: {}, entries });

const issue = () => issueRecord({ assessment, facts, photos, signer, jobFile });
const { fingerprint, rootFingerprint } = signer;
const pages = recordDocument(assessment, { ...facts, fingerprint, rootFingerprint });

// Said once, of the first issue in this process: later ones find the faces and the heap ready.
const megabytes = (bytes: number) => `${(bytes / 1024 / 1024).toFixed(1)} MB`;
const mostHeld = () => process.resourceUsage().maxRSS * 1024;
const before = { now: process.memoryUsage.rss(), most: mostHeld() };
const { pdf } = await issue();
const photoBytes = [...kept.values()].reduce((sum, { jpeg }) => sum + jpeg.length, 0);
console.log(
  [
    `${kept.size} photos, ${megabytes(photoBytes)}; record ${megabytes(pdf.length)}, ${(pdf.length / photoBytes).toFixed(2)} times as large: ${megabytes(pdf.length - photoBytes)} beside them`,
    `memory of the process: ${megabytes(before.now)} ahead of the issue (${megabytes(before.most)} at most until then), ${megabytes(mostHeld())} at most with it`,
  ].join('\n'),
);

describe('the demonstration’s record', () => {
  bench('issued: composed, drawn, with its attachments, signed, and looked at again', async () => {
    await issue();
  });
  bench('its pages drawn alone, unsigned and without attachments', async () => {
    await drawPdf(pages, photos, []);
  });
});
