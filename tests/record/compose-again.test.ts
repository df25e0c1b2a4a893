import { beforeAll, describe, expect, test } from 'vitest';
import { foldJob } from '../../src/logbook/job-log.js';
import { attachmentsIn } from '../../src/record/attached-data.js';
import { composeAgain } from '../../src/record/compose-again.js';
import { issueRecord } from '../../src/record/issue-record.js';
import { readPdf } from '../../src/record/read-pdf.js';
import { verifyRecord } from '../../src/record/verify-pdf.js';
import { assess } from '../../src/steps/assess.js';
import { played } from '../steps/played.js';
import { filesIn, runTool } from './outside-tool.js';
import { photoBytes, sampleJob } from './sample-job.js';
import { sampleFacts } from './sample-record.js';
import { testSigner } from './small-record.js';

const entries = played();
const signer = testSigner(new Date('2026-09-01T09:00:00Z'));
let pdf: Buffer;
const attached = (name: string) =>
  attachmentsIn(readPdf(pdf))
    .find((file) => file.name === name)!
    .data.toString('utf8');

beforeAll(async () => {
  await sampleJob();
  const [picture] = photoBytes.values();
  const issued = await issueRecord({
    assessment: assess(foldJob(entries))!,
    facts: { ...sampleFacts, job: '2026-001', issuedAt: '2026-09-20T10:00:00Z' },
    photos: () => picture,
    signer,
    jobFile: JSON.stringify({ format: 'inlet-job/1', entries }),
  });
  pdf = issued.pdf;
});

async function intact() {
  const seen = await verifyRecord(pdf);
  if (seen.state !== 'intact') throw new Error(seen.reasons.join(' '));
  return seen;
}

describe('a record composed again', () => {
  test('reads the same from what is attached to it', async () => {
    const seen = await intact();
    expect(seen.composedAgain).toBe('same');
    expect(seen.reasons.join(' ')).toContain('it reads the same');
  });

  test('reads the same in the zone that it was told in, and in no other', async () => {
    const issued = await issueRecord({
      assessment: assess(foldJob(entries))!,
      facts: { ...sampleFacts, zone: 'America/Denver', job: '2026-001', issuedAt: '2026-09-20T10:00:00Z' },
      photos: () => [...photoBytes.values()][0],
      signer,
      jobFile: JSON.stringify({ format: 'inlet-job/1', entries }),
    });
    const seen = await verifyRecord(issued.pdf);
    if (seen.state !== 'intact') throw new Error(seen.reasons.join(' '));
    expect(seen.composedAgain).toBe('same');
    expect(seen.facts.composed?.zone).toBe('America/Denver');
    expect((await intact()).facts.composed).not.toHaveProperty('zone');
    const files = new Map(attachmentsIn(readPdf(issued.pdf)).map(({ name, data }) => [name, data]));
    const textOf = (name: string) => files.get(name)!.toString('utf8');
    const composed = { ...seen.facts.composed!, zone: 'America/Phoenix' as const };
    expect(composeAgain(seen.facts, entries, textOf).reads).toBe('same');
    expect(composeAgain({ ...seen.facts, composed }, entries, textOf).reads).toBe('different');
  });

  test('reads differently from a logbook in which one reading is another', async () => {
    const { facts } = await intact();
    const k = entries.findIndex((e) => e.kind === 'reading taken' && e.body.shown.kind === 'ohms');
    const other = entries.map((e, i) =>
      i === k && e.kind === 'reading taken'
        ? { ...e, body: { ...e.body, shown: { kind: 'ohms', ohms: 0.07 } } }
        : e,
    );
    expect(composeAgain(facts, other, attached).reads).toBe('different');
    expect(composeAgain(facts, [], attached).reads).toBe('different');
    expect(composeAgain(facts, [null], attached).reads).toBe('different');
  });

  test('reads differently where another is said to have issued it', async () => {
    const { facts } = await intact();
    expect(composeAgain({ ...facts, issuedBy: 'Tam Whitlock' }, entries, attached).reads).toBe('different');
  });

  test('reads differently where a file of its readings says something else, or is missing', async () => {
    const { facts } = await intact();
    expect(composeAgain(facts, entries, attached).reads).toBe('same');
    for (const spoilt of ['readings.json', 'readings.csv'] as const) {
      const other = (name: string) => attached(name).replace(name === spoilt ? '0.02' : /$^/, '0.03');
      expect(composeAgain(facts, entries, other).reads).toBe('different');
    }
    const missing = () => {
      throw new Error('lacks it');
    };
    expect(composeAgain(facts, entries, missing).reads).toBe('different');
  });

  test('is not asked of a record that does not say from what it was composed', async () => {
    const { facts } = await intact();
    expect(composeAgain({ ...facts, composed: undefined }, entries, attached).reads).toBe('not-said');
  });

  test('has every required reading on the pages that a reader of the file finds', async () => {
    const text = runTool('pdftotext', ['-layout', filesIn({ pdf }).pdf, '-']).text.replace(/\s+/g, ' ');
    for (const { planned } of assess(foldJob(entries))!.readings.values())
      if (planned.required) expect(text).toContain(planned.code);
  });
});
